//! A document with every kind of block, for tests.

use std::sync::Arc;

use crate::model::{Align, Attached, Block, Chart, Document, Span, Table, Text};

/// Letters that are easily got wrong.
pub(crate) const SPECIAL: &str = "<b>&\"'ÅñŘŵ Ωλ ЖщЇ ≥ 5 m³";

const WORD: &str = "Donaudampfschifffahrtselektrizitätenhauptbetriebswerkbauunterbeamtengesellschaft";

fn mixed() -> Text {
    Text(vec![
        Span { text: "The herd goes without water on ".to_owned(), strong: false },
        Span { text: "12 days".to_owned(), strong: true },
        Span {
            text: format!(
                " of the year given; the tank carries it for 3.4 days without sun. Letters: {SPECIAL}. A long word, \
                 {WORD}, and a path, /home/someone/schemes/north-west/corrie/2031-revision/scheme-as-submitted.toml, \
                 must wrap. Flow 1.25 m³/h at 38.5 m of head; the rest is said below in more words, so that the \
                 paragraph has some lines to be broken and its last one is short."
            ),
            strong: false,
        },
    ])
}

fn chart(name: &'static str, size: (u32, u32)) -> Arc<Chart> {
    let (w, h) = size;
    let mut svg = format!(
        "<?xml version=\"1.0\"?>\n<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{w}\" height=\"{h}\" \
         viewBox=\"0 0 {w} {h}\" font-family=\"sans-serif\" role=\"img\" aria-label=\"old\">\n\
         <rect x=\"0\" y=\"0\" width=\"{w}\" height=\"{h}\" fill=\"#ffffff\"/>\n<g id=\"bars\">\n"
    );
    for month in 0..12_u32 {
        let (x, high) = (30 + month * (w - 40) / 12, h * (month + 2) / 20);
        let y = h - 20 - high;
        svg.push_str(&format!(
            "<rect x=\"{x}\" y=\"{y}\" width=\"14\" height=\"{high}\" fill=\"#bfdcee\" stroke=\"#1a1a1a\" \
             stroke-width=\"0.8\"/>\n<text x=\"{}\" y=\"{}\" font-size=\"7.2\" fill=\"#1a1a1a\" \
             text-anchor=\"middle\">{}</text>\n",
            x + 7,
            h - 10,
            month + 1
        ));
    }
    svg.push_str(&format!(
        "</g>\n<polyline points=\"30,30 {},40\" fill=\"none\" stroke=\"#1d5b8c\" stroke-width=\"1.5\" \
         stroke-dasharray=\"4 2\"/>\n<text x=\"40\" y=\"14\" font-size=\"8\" font-weight=\"bold\">Bold: \
         Žďár, Ωλ &amp; Жщ</text>\n<text x=\"12\" y=\"{}\" font-size=\"8\" text-anchor=\"middle\" \
         transform=\"rotate(-90 12 {})\">Water, m³ a day</text>\n</svg>\n",
        w - 10,
        h / 2,
        h / 2
    ));
    Arc::new(Chart {
        name,
        title: format!("The pump lifts more than the herd drinks from April on ({SPECIAL})"),
        alternative: format!("Bars by month, rising from January to December. {SPECIAL}"),
        svg,
        size,
    })
}

fn table(rows: usize) -> Table {
    let cell = |n: usize| Text::from(format!("{}.{}", n * 37 % 900, n % 10));
    Table {
        title: format!("Draw by herd and month {SPECIAL}"),
        columns: vec![
            ("Herd or garden".to_owned(), Align::Left),
            ("Head".to_owned(), Align::Right),
            ("Wanted on the worst day, m³".to_owned(), Align::Right),
            ("Wanted in the year, m³".to_owned(), Align::Right),
            ("Where it comes from".to_owned(), Align::Left),
        ],
        rows: (0..rows)
            .map(|n| {
                let name = match n % 7 {
                    3 => format!("{WORD} {n}"),
                    5 => format!("Ewes with lambs on the far side of the moor, {SPECIAL} {n}"),
                    _ => format!("Herd {n}"),
                };
                let source = if n % 4 == 1 {
                    Text::strong("given")
                        .then(", page 12 of the register of the commune, as of the first of May")
                } else {
                    Text::from("table of usual values")
                };
                vec![Text::from(name), cell(n + 3), cell(n + 11), cell(n + 23), source]
            })
            .collect(),
        note: format!("A note below the table that explains the columns. {SPECIAL}"),
    }
}

/// Every kind of block, on several pages.
pub(crate) fn document() -> Document {
    let facts = vec![
        ("Place".to_owned(), Text::from("47.35° N, 8.54° E, 1840 m above the sea")),
        (
            "A name so long that it must be broken in its column".to_owned(),
            Text::from(format!("{SPECIAL} and a value that needs more than one line to be told in full")),
        ),
        (WORD.to_owned(), Text::from(WORD)),
        ("Tank".to_owned(), Text::strong("24.0 m³").then(" usable (6340 US gal)")),
    ];
    let points = vec![mixed(), Text::from("A short point."), Text::from(WORD), Text::from(SPECIAL)];
    let small = Table {
        title: "A small table".to_owned(),
        columns: vec![("Month".to_owned(), Align::Left), ("m³".to_owned(), Align::Right)],
        rows: ["January", "February", "March"]
            .iter()
            .map(|m| vec![Text::from(*m), Text::from("12.5")])
            .collect(),
        note: String::new(),
    };
    let mut wide = table(4);
    for n in 0..9 {
        wide.columns.push((format!("{}. month, m³", n + 1), Align::Right));
        for row in &mut wide.rows {
            row.push(Text::from(format!("{}", 12345 + n)));
        }
    }
    Document {
        attached: vec![Attached {
            name: format!("a {SPECIAL}.csv"),
            about: format!("a table of {SPECIAL}"),
            kind: "text/csv",
            bytes: b"head m,flow L/min\n20,3\n".to_vec(),
        }],
        title: format!("Water for the herds of the upper corrie: {SPECIAL}"),
        foot: format!("dryspell 0.2.0 · scheme a1b2c3d4 · weather 5e6f7a8b · {SPECIAL}"),
        blocks: vec![
            Block::Answer(mixed()),
            Block::Notice(Text::strong("Snow is not modelled. ").then(mixed().0[2].text.clone())),
            Block::Heading("Site and scheme".to_owned()),
            Block::Beside(vec![
                vec![Block::Facts(facts.clone()), Block::Paragraph(mixed())],
                vec![
                    Block::Heading("Inside a column".to_owned()),
                    Block::Table(small),
                    Block::Notice(Text::from("A notice inside a column.")),
                    Block::List(points.clone()),
                ],
            ]),
            Block::Chart(chart("bars", (510, 170))),
            Block::Heading(format!("Stock and demand of {WORD} {SPECIAL}")),
            Block::Paragraph(mixed()),
            Block::Table(table(50)),
            Block::Facts(facts),
            Block::List(points),
            Block::Heading("Through the year".to_owned()),
            Block::Chart(chart("year", (510, 260))),
            Block::Chart(chart("again", (510, 200))),
            Block::Table(wide),
            Block::Heading("To be filled in".to_owned()),
            Block::Blanks(
                ["Prepared by", "Date", "Reviewed by, with the office that reviews it and its seal"]
                    .map(str::to_owned)
                    .to_vec(),
            ),
        ],
    }
}
