//! The answers as a table for other programs.

use super::answers::Answer;

/// One line a figure: question, line, count, of how many, share, interval, jobs. RFC 4180, with a heading.
pub fn answers_csv(answers: &[Answer]) -> String {
    let mut out = String::from("number,question,line,yes,of,share,low_95,high_95,figure,unit,jobs\r\n");
    for answer in answers {
        for line in &answer.lines {
            let share = line.share;
            let value = share.and_then(|share| share.value()).map(|value| format!("{value:.4}"));
            let interval = share.and_then(|share| share.interval());
            let decimals = if share.is_some() { 4 } else { 2 };
            let interval = interval.or(line.range);
            let cells = [
                answer.number.to_string(),
                answer.question.to_owned(),
                line.words.clone(),
                share.map(|share| share.yes.to_string()).unwrap_or_default(),
                share.map_or_else(|| line.n.to_string(), |share| share.n.to_string()),
                value.unwrap_or_default(),
                interval.map(|(low, _)| format!("{low:.decimals$}")).unwrap_or_default(),
                interval.map(|(_, high)| format!("{high:.decimals$}")).unwrap_or_default(),
                line.figure.map(|figure| format!("{figure:.2}")).unwrap_or_default(),
                line.unit.to_owned(),
                line.jobs.join(" "),
            ];
            out.push_str(&cells.map(|cell| quoted(&cell)).join(","));
            out.push_str("\r\n");
        }
    }
    out
}

/// A cell; one that a spreadsheet would take for a formula is made text.
fn quoted(cell: &str) -> String {
    let formula = cell.starts_with(['=', '+', '-', '@', '\t', '\r']);
    let cell = if formula { format!("'{cell}") } else { cell.to_owned() };
    if cell.contains(['"', ',', '\n', '\r']) { format!("\"{}\"", cell.replace('"', "\"\"")) } else { cell }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shop::{Line, Share};

    #[test]
    fn a_table_keeps_commas_quotes_and_no_formula() {
        let line = Line {
            words: "a \"hot\" one, or two".to_owned(),
            share: Some(Share { yes: 0, n: 20 }),
            n: 20,
            figure: None,
            range: None,
            unit: "",
            jobs: vec!["=cmd()".into(), "b".into()],
            n_jobs: 2,
        };
        let answer = Answer { number: 1, question: "Why?", lines: vec![line], missing: "" };
        let text = answers_csv(&[answer]);
        let row = text.lines().nth(1).expect("a row");
        assert_eq!(row, "1,Why?,\"a \"\"hot\"\" one, or two\",0,20,0.0000,0.0000,0.1611,,,'=cmd() b");
    }
}
