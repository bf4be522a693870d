use std::collections::BTreeMap;

use serde::Serialize;

use super::text;

#[derive(Serialize)]
enum Word {
    Alone,
    One(f64),
    Record { deep: bool },
    Pair(i8, u8),
}

#[derive(Serialize)]
struct Inner {
    word: Word,
    gap: Option<f64>,
}

#[derive(Serialize)]
struct Outer {
    tables: Vec<Inner>,
    text: String,
    number: f64,
    seed: u64,
    small: f32,
    none: Vec<Inner>,
    nested: [[i32; 2]; 2],
    one: Inner,
    of_tables: BTreeMap<String, Inner>,
    mixed: (Inner, char),
    nothing: BTreeMap<String, u8>,
}

fn outer() -> Outer {
    let inner = |word, gap| Inner { word, gap };
    Outer {
        tables: vec![
            inner(Word::Alone, Some(-0.5)),
            inner(Word::One(1e-7), None),
            inner(Word::Record { deep: true }, Some(2.0)),
        ],
        text: "a \"b\"\n# c\\".to_owned(),
        number: f64::NAN,
        seed: u64::MAX,
        small: 0.25,
        none: Vec::new(),
        nested: [[1, -2], [3, 4]],
        one: inner(Word::Pair(-1, 1), None),
        of_tables: BTreeMap::from([("two words".to_owned(), inner(Word::Alone, None))]),
        mixed: (inner(Word::Record { deep: false }, None), 'ü'),
        nothing: BTreeMap::new(),
    }
}

#[test]
fn texts_are_those_of_the_toml_crate() {
    assert_eq!(text(&outer()).unwrap(), toml::to_string(&outer()).unwrap());
}

#[test]
fn what_toml_has_no_form_for_is_refused() {
    assert!(text(&1.0).is_err(), "no table");
    assert!(text(&BTreeMap::from([("list", [Some(1), None])])).is_err(), "a gap");
    assert!(text(&BTreeMap::from([(1, 2)])).is_err(), "a number as a name");
}
