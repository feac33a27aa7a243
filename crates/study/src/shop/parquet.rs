//! The answers as a Parquet file, the same table as the CSV, for programs that read columns.
//!
//! Written after the Apache Parquet format 2.x, only as much of it as this table needs: one row group, one page a column,
//! plain values, nothing compressed. Numbers of its enumerations stand beside their names in `parquet.thrift`.

use super::answers::{Answer, Line};

/// Physical types.
const INT64: i64 = 2;
const DOUBLE: i64 = 5;
const BYTE_ARRAY: i64 = 6;
/// Encodings.
const PLAIN: i64 = 0;
const RLE: i64 = 3;
/// Types of fields in the compact protocol of Thrift.
const OF_I32: u8 = 5;
const OF_I64: u8 = 6;
const OF_BINARY: u8 = 8;
const OF_LIST: u8 = 9;
const OF_STRUCT: u8 = 12;

/// The values of a column; a number may be lacking.
enum Column {
    Number(Vec<Option<i64>>),
    Figure(Vec<Option<f64>>),
    Text(Vec<String>),
}

/// One row a figure, with the columns of the CSV.
pub fn answers_parquet(answers: &[Answer]) -> Vec<u8> {
    let rows: Vec<(&Answer, &Line)> =
        answers.iter().flat_map(|answer| answer.lines.iter().map(move |line| (answer, line))).collect();
    let number = |of: &dyn Fn(&Answer, &Line) -> Option<usize>| {
        let value = |(answer, line): &(&Answer, &Line)| of(answer, line).and_then(|n| i64::try_from(n).ok());
        Column::Number(rows.iter().map(value).collect())
    };
    let figure =
        |of: &dyn Fn(&Line) -> Option<f64>| Column::Figure(rows.iter().map(|(_, line)| of(line)).collect());
    let text = |of: &dyn Fn(&Answer, &Line) -> String| {
        Column::Text(rows.iter().map(|(answer, line)| of(answer, line)).collect())
    };
    let interval = |line: &Line| line.share.and_then(|share| share.interval()).or(line.range);
    file(
        rows.len(),
        &[
            ("number", number(&|answer, _| Some(usize::from(answer.number)))),
            ("question", text(&|answer, _| answer.question.to_owned())),
            ("line", text(&|_, line| line.words.clone())),
            ("yes", number(&|_, line| line.share.map(|share| share.yes))),
            ("of", number(&|_, line| Some(line.share.map_or(line.n, |share| share.n)))),
            ("share", figure(&|line| line.share.and_then(|share| share.value()))),
            ("low_95", figure(&|line| interval(line).map(|(low, _)| low))),
            ("high_95", figure(&|line| interval(line).map(|(_, high)| high))),
            ("figure", figure(&|line| line.figure)),
            ("unit", text(&|_, line| line.unit.to_owned())),
            ("jobs", text(&|_, line| line.jobs.join(" "))),
        ],
    )
}

fn file(n_rows: usize, columns: &[(&str, Column)]) -> Vec<u8> {
    let mut out = b"PAR1".to_vec();
    let mut chunks = Vec::new();
    for (name, column) in columns {
        let (at, page) = (out.len(), column.page(n_rows));
        out.extend(&page);
        let mut of = Struct::default();
        of.number(1, OF_I32, column.kind());
        of.list(2, OF_I32, [varint(zigzag(PLAIN)), varint(zigzag(RLE))]);
        of.list(3, OF_BINARY, [binary(name)]);
        of.number(4, OF_I32, 0);
        of.number(5, OF_I64, size(n_rows));
        of.number(6, OF_I64, size(page.len()));
        of.number(7, OF_I64, size(page.len()));
        of.number(9, OF_I64, size(at));
        let mut chunk = Struct::default();
        chunk.number(2, OF_I64, size(at));
        chunk.field(3, OF_STRUCT, &of.end());
        chunks.push(chunk.end());
    }
    let mut root = Struct::default();
    root.field(4, OF_BINARY, &binary("questions"));
    root.number(5, OF_I32, size(columns.len()));
    let mut schema = vec![root.end()];
    for (name, column) in columns {
        let mut of = Struct::default();
        of.number(1, OF_I32, column.kind());
        of.number(3, OF_I32, i64::from(column.may_lack()));
        of.field(4, OF_BINARY, &binary(name));
        if column.kind() == BYTE_ARRAY {
            // UTF8
            of.number(6, OF_I32, 0);
        }
        schema.push(of.end());
    }
    let mut group = Struct::default();
    group.list(1, OF_STRUCT, chunks);
    group.number(2, OF_I64, size(out.len() - 4));
    group.number(3, OF_I64, size(n_rows));
    let mut meta = Struct::default();
    meta.number(1, OF_I32, 1);
    meta.list(2, OF_STRUCT, schema);
    meta.number(3, OF_I64, size(n_rows));
    meta.list(4, OF_STRUCT, [group.end()]);
    meta.field(6, OF_BINARY, &binary("panelwright"));
    let meta = meta.end();
    out.extend(&meta);
    out.extend(u32::try_from(meta.len()).unwrap_or(u32::MAX).to_le_bytes());
    out.extend(b"PAR1");
    out
}

impl Column {
    fn kind(&self) -> i64 {
        match self {
            Column::Number(_) => INT64,
            Column::Figure(_) => DOUBLE,
            Column::Text(_) => BYTE_ARRAY,
        }
    }

    fn may_lack(&self) -> bool {
        !matches!(self, Column::Text(_))
    }

    /// The page with its head.
    fn page(&self, n_rows: usize) -> Vec<u8> {
        let mut data = Vec::new();
        match self {
            Column::Number(values) => {
                data.extend(levels(values));
                data.extend(values.iter().flatten().flat_map(|value| value.to_le_bytes()));
            }
            Column::Figure(values) => {
                data.extend(levels(values));
                data.extend(values.iter().flatten().flat_map(|value| value.to_le_bytes()));
            }
            Column::Text(values) => {
                for value in values {
                    data.extend(u32::try_from(value.len()).unwrap_or(u32::MAX).to_le_bytes());
                    data.extend(value.bytes());
                }
            }
        }
        let mut of_data = Struct::default();
        of_data.number(1, OF_I32, size(n_rows));
        of_data.number(2, OF_I32, PLAIN);
        of_data.number(3, OF_I32, RLE);
        of_data.number(4, OF_I32, RLE);
        let mut head = Struct::default();
        head.number(1, OF_I32, 0);
        head.number(2, OF_I32, size(data.len()));
        head.number(3, OF_I32, size(data.len()));
        head.field(5, OF_STRUCT, &of_data.end());
        [head.end(), data].concat()
    }
}

/// Which values are there, one bit each, in one run, with its length before it.
fn levels<T>(values: &[Option<T>]) -> Vec<u8> {
    let bits = values.chunks(8).map(|eight| {
        eight.iter().enumerate().fold(0_u8, |byte, (at, value)| byte | (u8::from(value.is_some()) << at))
    });
    let bits: Vec<u8> = bits.collect();
    let run = [varint(((bits.len() as u64) << 1) | 1), bits].concat();
    [u32::try_from(run.len()).unwrap_or(u32::MAX).to_le_bytes().to_vec(), run].concat()
}

fn size(n: usize) -> i64 {
    i64::try_from(n).unwrap_or(i64::MAX)
}

fn zigzag(number: i64) -> u64 {
    ((number << 1) ^ (number >> 63)).cast_unsigned()
}

fn varint(mut number: u64) -> Vec<u8> {
    let mut out = Vec::new();
    while 0x80 <= number {
        out.push((number & 0x7f) as u8 | 0x80);
        number >>= 7;
    }
    out.push(number as u8);
    out
}

fn binary(text: &str) -> Vec<u8> {
    [varint(text.len() as u64), text.as_bytes().to_vec()].concat()
}

/// A struct in the compact protocol: fields in the order of their numbers.
#[derive(Default)]
struct Struct {
    out: Vec<u8>,
    last: u8,
}

impl Struct {
    fn field(&mut self, number: u8, kind: u8, value: &[u8]) {
        self.out.push(((number - self.last) << 4) | kind);
        self.out.extend(value);
        self.last = number;
    }

    fn number(&mut self, number: u8, kind: u8, value: i64) {
        self.field(number, kind, &varint(zigzag(value)));
    }

    fn list(&mut self, number: u8, kind: u8, items: impl IntoIterator<Item = Vec<u8>>) {
        let items: Vec<Vec<u8>> = items.into_iter().collect();
        let short = u8::try_from(items.len()).ok().filter(|n| *n < 15);
        let head = match short {
            Some(n) => vec![(n << 4) | kind],
            None => [vec![0xf0 | kind], varint(items.len() as u64)].concat(),
        };
        self.field(number, OF_LIST, &[head, items.concat()].concat());
    }

    fn end(mut self) -> Vec<u8> {
        self.out.push(0);
        self.out
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shop::Share;

    /// A table with what may lack and what may not.
    fn table() -> Vec<u8> {
        let line = |words: &str, share, figure, jobs: &[&str]| Line {
            words: words.to_owned(),
            share,
            n: 3,
            figure,
            range: None,
            unit: "h",
            jobs: jobs.iter().map(|job| (*job).into()).collect(),
            n_jobs: jobs.len(),
        };
        let first = line("a \u{201c}hot\u{201d} one", Some(Share { yes: 0, n: 20 }), None, &["a", "b"]);
        let second = line("hours", None, Some(2.5), &[]);
        answers_parquet(&[
            Answer { number: 1, question: "Why?", lines: vec![first], missing: "" },
            Answer { number: 3, question: "How long?", lines: vec![second], missing: "" },
        ])
    }

    /// The file of this table was read by pyarrow 26.0.1: every value as it stands here. Its bytes stay those.
    #[test]
    fn the_file_is_the_one_that_another_program_read() {
        let bytes = table();
        if let Some(folder) = std::env::var_os("PARQUET_OUT") {
            std::fs::write(folder, &bytes).expect("written");
        }
        let mut sum = 0xcbf2_9ce4_8422_2325_u64;
        for byte in &bytes {
            sum = (sum ^ u64::from(*byte)).wrapping_mul(0x0000_0100_0000_01b3);
        }
        assert_eq!((bytes.len(), sum), (904, 14_689_253_005_151_907_237));
    }

    #[test]
    fn an_empty_table_is_a_file_too() {
        let bytes = answers_parquet(&[]);
        assert!(bytes.starts_with(b"PAR1") && bytes.ends_with(b"PAR1"));
        let at = bytes.len() - 8;
        let length = u32::from_le_bytes(bytes[at..at + 4].try_into().expect("four"));
        assert!(4 + (length as usize) < at, "the columns lie before the description");
    }
}
