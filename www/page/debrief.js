import { html } from './element.js';
export function debriefView() { return { element: html('div', {}, html('h1', { tabindex: -1 })), update() {} }; }
