// The words that stand in the page's own code: literals that would reach a reader without passing a catalogue.
import { parse } from 'acorn';

/** Attributes that are read, by sight or aloud. */
const READ = new Set(['alt', 'aria-description', 'aria-label', 'aria-roledescription', 'aria-valuetext', 'placeholder', 'title',
  'ariaLabel', 'ariaValueText', 'ariaDescription', 'innerText', 'textContent', 'innerHTML']);
/** Calls whose arguments are read: the place of the first one that is. */
const TELLS = { html: 2, svg: 2, say: 1, append: 0, prepend: 0, before: 0, after: 0, replaceChildren: 0, replaceWith: 0, notice: 0, alert: 0, confirm: 0,
  prompt: 0, createTextNode: 0, insertAdjacentText: 1, insertAdjacentHTML: 1 };

const words = (node) => (node.type === 'Literal' && typeof node.value === 'string' ? node.value
  : node.type === 'TemplateLiteral' ? node.quasis.map(({ value }) => value.cooked).join('0') : null);
const nameOf = (node) => node?.name ?? node?.value ?? node?.property?.name ?? null;

/** A sentence, or the beginning of one: two words with a space between, the first with a capital letter. */
const SENTENCE = /\p{Lu}\p{Ll}+,? \p{L}{2,}|\p{L}{2,} \p{L}{2,} \p{L}{2,} \p{L}{2,}|\p{L}{3,}[.!?…](\s|$)|^\p{Lu}\p{Ll}{2,}$/u;

/** All literals of a module that are read by a person, each with its line and why it is taken for one. */
export function readLiterals(source) {
  const found = [];
  const tell = (node, why) => found.push({ line: node.loc.start.line, words: words(node), why });
  /** Literals that the value of an expression may be: not those that choose it, nor those given on to another call. */
  function outcomes(node, why) {
    if (!node) return;
    if (words(node) !== null && /\p{L}/u.test(words(node))) tell(node, why);
    const on = { ConditionalExpression: ['consequent', 'alternate'], LogicalExpression: ['left', 'right'], BinaryExpression: ['left', 'right'],
      ArrayExpression: ['elements'], SpreadElement: ['argument'], ChainExpression: ['expression'] }[node.type] ?? [];
    for (const part of on) for (const one of [node[part]].flat()) outcomes(one, why);
    if (node.type === 'TemplateLiteral') for (const one of node.expressions) outcomes(one, why);
  }
  function walk(node) {
    if (!node || typeof node.type !== 'string') return;
    if (node.type === 'CallExpression') {
      const first = TELLS[nameOf(node.callee)];
      if (first !== undefined) for (const given of node.arguments.slice(first)) outcomes(given, `given to ${nameOf(node.callee)}`);
      if (nameOf(node.callee) === 'setAttribute' && READ.has(words(node.arguments[0]))) outcomes(node.arguments[1], `set as ${words(node.arguments[0])}`);
    }
    if (node.type === 'Property' && READ.has(nameOf(node.key)) && !node.computed) outcomes(node.value, `set as ${nameOf(node.key)}`);
    if (node.type === 'AssignmentExpression' && READ.has(nameOf(node.left))) outcomes(node.right, `set as ${nameOf(node.left)}`);
    if (words(node) !== null && SENTENCE.test(words(node))) tell(node, 'a sentence');
    for (const part of Object.values(node)) for (const one of [part].flat()) walk(one);
  }
  walk(parse(source, { ecmaVersion: 'latest', sourceType: 'module', locations: true, allowHashBang: true }));
  const seen = new Set();
  return found.filter(({ line, words: said }) => !seen.has(`${line} ${said}`) && seen.add(`${line} ${said}`));
}

const TAGS = /<(script|style)[\s\S]*?<\/\1>|<!--[\s\S]*?-->/g;

/** Texts of a page as delivered: what each element says and by which key it is filled, if by any. */
export function readMarkup(source) {
  const found = [];
  for (const [, attributes, said] of source.replaceAll(TAGS, '').matchAll(/<([^<>]*)>([^<>]*\p{L}[^<>]*)/gu)) {
    if (attributes.startsWith('!')) continue;
    found.push({ key: attributes.match(/data-text="([^"]+)"/)?.[1] ?? null, words: said.trim().replaceAll(/\s+/g, ' ') });
  }
  return found;
}
