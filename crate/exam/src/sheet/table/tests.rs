use super::*;

fn told(text: &str) -> String {
    AnswerSheet::parse_csv("answers.csv", text.as_bytes()).unwrap_err().to_string()
}

fn sheet() -> AnswerSheet {
    let remarks =
        ["plain", "two\nlines, \"quoted\"; and more", "=1+1", "'=1", "-3 dB at the toe", " spaces ", ""];
    let calls = remarks.iter().zip(FlawKind::ALL).enumerate().map(|(index, (remark, kind))| Call {
        kind: Some(kind),
        start_mm: Some(0.1 + 0.2 * f64::from(u8::try_from(index).unwrap())),
        end_mm: (index != 2).then_some(1.0 / 3.0),
        offset_mm: Some(-3.25),
        amplitude_db: Some(-1e-7),
        side: Some(if index % 2 == 0 { Side::A } else { Side::B }),
        leg: Some(2),
        decision: Some(if index == 0 { Decision::Accept } else { Decision::Reject }),
        remark: (*remark).to_owned(),
        ..Call::default()
    });
    AnswerSheet {
        plate_id: Some("TH-07".to_owned()),
        calls: calls.chain([Call::default()]).collect(),
        ..Default::default()
    }
}

#[test]
fn a_sheet_survives_the_table() {
    let full = sheet();
    let nothing = AnswerSheet { no_recordable_indication: true, ..AnswerSheet::default() };
    let only_the_plate = AnswerSheet { plate_id: Some("=TH".to_owned()), ..AnswerSheet::default() };
    let contradictory = AnswerSheet { no_recordable_indication: true, ..full.clone() };
    let nameless = AnswerSheet { plate_id: None, ..full.clone() };
    for sheet in [AnswerSheet::default(), full, nothing, only_the_plate, contradictory, nameless] {
        let text = sheet.to_csv().unwrap();
        assert_eq!(AnswerSheet::parse_csv("answers.csv", text.as_bytes()).unwrap(), sheet, "{text}");
        assert!(!text.contains(",=") && !text.contains(",+"), "a spreadsheet would run it: {text}");
    }
}

#[test]
fn a_table_out_of_a_spreadsheet_is_read() {
    let text =
        "\u{feff}Kind;start_mm;end_mm;decision\r\nSlag line;38,5;60;Reject\r\n;;;\r\npore-line;1;2;\r\n";
    let sheet = AnswerSheet::parse_csv("answers.csv", text.as_bytes()).unwrap();
    assert_eq!(sheet.calls.len(), 2, "an empty row is no call");
    assert_eq!(sheet.calls[0].kind, Some(FlawKind::SlagLine));
    assert_eq!(
        (sheet.calls[0].along_mm(), sheet.calls[0].decision),
        (Some([38.5, 60.0]), Some(Decision::Reject))
    );
    assert_eq!(sheet.calls[1].kind, Some(FlawKind::PoreLine));
}

#[test]
fn what_is_wrong_is_told_with_line_and_column() {
    let cases = [
        ("", "answers.csv:1:1: has no columns, expected a first line with call, plate_id, kind"),
        ("kind,width\n", "answers.csv:1:2: no column is called “width”, expected some of call"),
        ("leg,leg\n", "answers.csv:1:2: the column leg is there twice, expected once"),
        (
            "kind,start_mm\nslag-line,1\ndent,2\n",
            "answers.csv:3:1: kind is “dent”, expected one of lack-of-side-wall-fusion",
        ),
        ("kind,start_mm\n,ten\n", "answers.csv:2:2: start_mm is “ten”, expected a number of mm"),
        ("amplitude_db\ninf\n", "answers.csv:2:1: amplitude_db is “inf”, expected a number of dB"),
        ("side,leg\nA,0\n", "answers.csv:2:2: leg is “0”, expected a whole number from 1"),
        ("side\nC\n", "answers.csv:2:1: side is “C”, expected A or B"),
        ("decision\nmaybe\n", "answers.csv:2:1: decision is “maybe”, expected accept or reject"),
        ("side\nA,B\n", "answers.csv:2:2: the row has 2 columns, expected 1"),
        (
            "call,plate_id\n1,TH-07\n2,TH-08\n",
            "answers.csv:3:2: plate_id is “TH-08”, expected TH-07 as in the rows before",
        ),
        (
            "call,leg\nno-recordable-indication,1\n",
            "answers.csv:2:1: call is “no-recordable-indication”, expected a number",
        ),
        ("call\nfirst\n", "answers.csv:2:1: call is “first”, expected a number or no-recordable-indication"),
    ];
    // However lines end, and with a blank one between.
    for (text, expected) in cases {
        for ending in ["\n", "\r\n", "\r"] {
            let told = told(&text.replace('\n', ending));
            assert!(told.starts_with(expected), "{ending:?} {told}\nexpected: {expected}");
        }
    }
    assert!(told("leg\r\n\r\n1\r\n0\r\n").starts_with("answers.csv:4:1: leg is “0”"));
    let latin = AnswerSheet::parse_csv("answers.csv", b"side,remark\nA,gr\xfcn\n").unwrap_err().to_string();
    assert_eq!(latin, "answers.csv:2:2: is not UTF-8 text, expected a table saved as CSV UTF-8");
    assert!(told(&format!("leg\n{}", "1\n".repeat(MOST_CALLS + 1))).contains("has more than 200 calls"));
    assert!(told(&format!("remark\n{}\n", "x".repeat(LONGEST_REMARK + 1))).contains("expected at most 1000"));
    assert!(told(&" ".repeat(SIZE_LIMIT_BYTES + 1)).contains("expected at most 1000000"));
}

#[test]
fn no_damage_makes_it_panic() {
    let whole = sheet().to_csv().unwrap().into_bytes();
    for at in 0..whole.len() {
        for byte in [0, b'"', b',', b'\n', 0xff, b'9'] {
            let mut damaged = whole.clone();
            damaged[at] = byte;
            let _ = AnswerSheet::parse_csv("answers.csv", &damaged);
        }
        let _ = AnswerSheet::parse_csv("answers.csv", &whole[..at]);
    }
}
