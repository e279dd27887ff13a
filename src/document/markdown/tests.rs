use proptest::prelude::*;

use super::super::blocks::*;
use super::escape::is_blank;
use super::reader::DEEPEST;
use super::*;

fn sections(markdown: &str) -> Vec<Section> {
    let document = parse(markdown).unwrap();
    let section = |block| match block {
        Block::Section(section) => Some(section),
        _ => None,
    };
    document.blocks.into_iter().filter_map(section).collect()
}

#[test]
fn facts_are_read_and_may_be_quoted() {
    let text = "---\ntitle: \"Paper: developer\"\nlanguage: de\ndate: 3. Dezember\npage: \"Seite {page} von {pages}\"\n---\n\nText\n";
    let facts = parse(text).unwrap().facts;
    assert_eq!(facts.title, "Paper: developer");
    assert_eq!(facts.language, "de");
    assert_eq!(facts.date, "3. Dezember");
    assert_eq!(facts.page_count(2, 3), "Seite 2 von 3");
}

#[test]
fn faults_name_their_line() {
    let line_of = |text: &str| parse(text).unwrap_err().line;
    assert_eq!(line_of("---\ntitle: a\ncolour: b\n---\n"), 3);
    assert_eq!(line_of("Text\n\n## Heading {.haf}\n"), 3);
    assert_eq!(line_of("Text\n\n![x](http://example.org)\n"), 3);
    assert_eq!(line_of("![x](pictogram:GHS05 \"9 mm\")\n"), 1);
    let deep = "> ".repeat(DEEPEST + 1) + "text";
    assert_eq!(parse(&deep).unwrap_err().fault, Fault::TooDeep);
}

#[test]
fn sections_stand_in_one_another_by_level_but_not_in_a_band() {
    let top =
        sections("# Title {.band}\n\nfacts\n\n## One {.half .wall}\n\n### In one\n\n## Two\n");
    let headings: Vec<String> = top.iter().map(|section| plain(&section.heading)).collect();
    assert_eq!(headings, ["Title", "One", "Two"]);
    assert_eq!(top[0].look.frame, Frame::Band);
    assert_eq!(top[1].look.width, Width::Half);
    assert_eq!(top[1].look.voice, Voice::Wall);
    assert!(matches!(&top[1].blocks[..], [Block::Section(_)]));
}

#[test]
fn lists_hold_lists_and_tasks() {
    let document = parse("- [ ] weigh\n- [x] stir\n\n  until clear\n- rest\n  - 1\n").unwrap();
    let [Block::List(list)] = &document.blocks[..] else {
        panic!("{document:?}")
    };
    let ticked: Vec<_> = list.items.iter().map(|item| item.ticked).collect();
    assert_eq!(ticked, [Some(false), Some(true), None]);
    assert!(matches!(list.items[2].blocks[1], Block::List(_)));
}

#[test]
fn html_is_shown_as_it_is_written() {
    let document = parse("<script>alert(1)</script>\n\na <b>bold</b> word\n").unwrap();
    let words: Vec<String> = document
        .blocks
        .iter()
        .map(|block| match block {
            Block::Paragraph(inlines) => plain(inlines),
            other => panic!("{other:?}"),
        })
        .collect();
    assert_eq!(words, ["<script>alert(1)</script>", "a <b>bold</b> word"]);
}

#[test]
fn rows_are_as_long_as_their_head() {
    let document = parse("| a | b |\n|---|--:|\n| 1 |\n| 1 | 2 | 3 |\n").unwrap();
    let [Block::Table(table)] = &document.blocks[..] else {
        panic!("{document:?}")
    };
    assert_eq!(table.columns, [Align::Left, Align::Right]);
    assert!(table.rows.iter().all(|row| row.len() == 2));
}

/// What `escape` promises to keep of a text.
fn shown(text: &str) -> String {
    let reordering = |c: &char| matches!(c, '\u{202A}'..='\u{202E}' | '\u{2066}'..='\u{2069}');
    let kept: String = text.chars().filter(|c| !reordering(c)).collect();
    let words = kept.split(is_blank).filter(|part| !part.is_empty());
    words.collect::<Vec<_>>().join(" ").trim().to_string()
}

proptest! {
    /// Text that looks like Markdown comes out as the text it is, wherever it stands.
    #[test]
    fn escaped_text_is_only_text(text in "(\\PC|[\\\\`*_{}\\[\\]()#+.!|<>&~=\"'\n\r\t -]){1,40}") {
        prop_assume!(!shown(&text).is_empty());
        let safe = escape(&text);
        let markdown = format!(
            "---\ntitle: {safe}\n---\n\n## {safe} {{.half}}\n\n{safe}\n\n- {safe}\n\n| a | b |\n|---|---|\n| {safe} | 1 |\n"
        );
        let document = parse(&markdown).unwrap();
        let expected = shown(&text);
        prop_assert_eq!(&document.facts.title, &expected);
        let [Block::Section(section)] = &document.blocks[..] else {
            return Err(TestCaseError::fail(format!("{document:?}")));
        };
        prop_assert_eq!(plain(&section.heading), expected.clone());
        prop_assert_eq!(section.look.width, Width::Half);
        let [Block::Paragraph(words), Block::List(list), Block::Table(table)] = &section.blocks[..] else {
            return Err(TestCaseError::fail(format!("{section:?}")));
        };
        prop_assert_eq!(plain(words), expected.clone());
        prop_assert_eq!(&list.items[0].blocks, &vec![Block::Paragraph(words.clone())]);
        prop_assert_eq!(plain(&table.rows[0][0]), expected);
        prop_assert_eq!(plain(&table.rows[0][1]), "1");
    }

    /// No input makes the parser fall over.
    #[test]
    fn any_text_is_parsed_or_refused(text in "(\\PC|[\\\\`*_{}\\[\\]()#+.!|<>&~=\"'\n -]){0,200}") {
        let _ = parse(&text);
    }
}
