//! The code as it holds for one job: an edition, its local amendments, and what a person has confirmed.

use crate::adoption::Amendment;
use crate::book::{Book, Value};
use crate::edition::Edition;
use crate::rule::{self, RuleId};
use crate::ruling::{Refused, Ruling, Standing};
use crate::table::Tables;

/// The code that a job is computed under.
#[derive(Debug, Clone)]
pub struct Law<'b> {
    book: &'b Book,
    edition: Edition,
    amendments: Vec<&'b Amendment>,
    /// How it was chosen, for the page.
    chosen: String,
}

impl<'b> Law<'b> {
    /// One edition as published, without local amendments.
    pub fn of(book: &'b Book, edition: Edition) -> Self {
        Law {
            book,
            edition,
            amendments: vec![],
            chosen: format!("{}, no local amendment", edition.document()),
        }
    }

    pub(crate) fn adopted(
        book: &'b Book,
        edition: Edition,
        amendments: Vec<&'b Amendment>,
        chosen: String,
    ) -> Self {
        Law { book, edition, amendments, chosen }
    }

    /// Its edition.
    pub fn edition(&self) -> Edition {
        self.edition
    }

    /// Edition, ordinance and day in one line.
    pub fn chosen(&self) -> &str {
        &self.chosen
    }

    /// The book it reads.
    pub fn book(&self) -> &'b Book {
        self.book
    }

    pub(crate) fn tables(&self) -> &'b Tables {
        &self.book.tables
    }

    /// What a rule says: a value, or `None` where this code has no such rule.
    pub fn ask(&self, id: RuleId) -> Result<Ruling<Option<Value>>, Refused> {
        let rule = self.book.rule(id);
        if let Some(amendment) = self.amendments.iter().find(|amendment| amendment.rule == rule.id) {
            return Ok(Ruling {
                value: amendment.value.clone(),
                edition: self.edition,
                line: self.edition,
                document: amendment.document.as_str().into(),
                section: amendment.section.as_str().into(),
                standing: Standing::Local,
                sources: [].into(),
                note: amendment.note.as_deref().map(Into::into),
            });
        }
        let document = self.book.documents[self.edition as usize].clone();
        if let Some(confirmed) = self.book.confirmation(&rule.id, self.edition) {
            return Ok(Ruling {
                value: confirmed.value.clone(),
                edition: self.edition,
                line: self.edition,
                document,
                section: confirmed.section.as_str().into(),
                standing: Standing::Confirmed { who: confirmed.who.clone(), on: confirmed.on },
                sources: [].into(),
                note: None,
            });
        }
        if let Some(refusal) = self.book.refusal(&rule.id, self.edition) {
            return Err(Refused {
                rule: rule.id.clone(),
                what: rule.what.clone(),
                edition: self.edition,
                reason: refusal.reason.clone(),
                confirm: refusal.confirm.clone(),
            });
        }
        let dated = rule.entry(self.edition);
        Ok(Ruling {
            value: dated.value.clone(),
            edition: self.edition,
            line: dated.from,
            document,
            section: dated.section.clone(),
            standing: dated.standing.clone(),
            sources: dated.told.clone(),
            note: dated.note.clone(),
        })
    }

    /// A number, or `None` where this code has no such rule.
    pub fn maybe_number(&self, id: RuleId) -> Result<Option<Ruling<f64>>, Refused> {
        let ruling = self.ask(id)?;
        Ok(match ruling.value {
            Some(Value::Number(number)) => Some(ruling.map(|_| number)),
            Some(Value::Word(_)) | None => None,
        })
    }

    /// A number that every edition has.
    pub fn number(&self, id: RuleId) -> Result<Ruling<f64>, Refused> {
        self.maybe_number(id)?.ok_or_else(|| self.withdrawn(id))
    }

    /// A word, or `None` where this code has no such rule.
    pub fn maybe_word(&self, id: RuleId) -> Result<Option<Ruling<String>>, Refused> {
        let ruling = self.ask(id)?;
        Ok(match ruling.value.clone() {
            Some(Value::Word(word)) => Some(ruling.map(|_| word)),
            Some(Value::Number(_)) | None => None,
        })
    }

    /// A word that every edition has.
    pub fn word(&self, id: RuleId) -> Result<Ruling<String>, Refused> {
        self.maybe_word(id)?.ok_or_else(|| self.withdrawn(id))
    }

    /// Everything that is refused under this code, each with what would have to be confirmed.
    pub fn refused(&self) -> Vec<Refused> {
        rule::ALL.iter().filter_map(|id| self.ask(*id).err()).collect()
    }

    fn withdrawn(&self, id: RuleId) -> Refused {
        let rule = self.book.rule(id);
        Refused {
            rule: rule.id.clone(),
            what: rule.what.clone(),
            edition: self.edition,
            reason: "this code has no such rule, and the computation needs it".to_owned(),
            confirm: "whether an amendment or a confirmation took it away by mistake".to_owned(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::adoption::Profile;

    fn profile(book: &Book, edition: Edition) -> Profile {
        let before = edition.before().expect("asked for later editions only");
        let text = format!(
            "name = \"Nowhere\"\ninvented = true\n\
             adopted = [{{ edition = {before}, from = \"2000-01-01\", document = \"first\" }}, \
             {{ edition = {edition}, from = \"2001-07-01\", document = \"second\" }}]\n"
        );
        Profile::read(book, &text).expect("the profile is right")
    }

    /// Every rule, at every edition that changes it: the day before gives the old entry, the day of adoption the new.
    #[test]
    fn every_rule_changes_on_the_day_and_not_before() {
        let book = Book::built_in();
        let mut n_changes = 0;
        for edition in Edition::ALL.into_iter().skip(1) {
            let profile = profile(&book, edition);
            let day = |text: &str| text.parse().expect("a day");
            let before = profile.on(&book, day("2001-06-30")).expect("the older edition holds");
            let of = profile.on(&book, day("2001-07-01")).expect("the newer edition holds");
            let after = profile.on(&book, day("2031-07-01")).expect("the newer edition holds on");
            assert_eq!(
                (before.edition(), of.edition(), after.edition()),
                (edition.before().unwrap_or(edition), edition, edition)
            );
            for id in rule::ALL {
                let rule = book.rule(*id);
                for (law, wanted) in [(&before, before.edition()), (&of, edition), (&after, edition)] {
                    match law.ask(*id) {
                        Ok(ruling) => {
                            let entry = rule.entry(wanted);
                            assert!(entry.from <= wanted, "{}: a later edition is used", rule.id);
                            assert_eq!(
                                (&ruling.value, &ruling.section),
                                (&entry.value, &entry.section),
                                "{}",
                                rule.id
                            );
                            assert_eq!(*ruling.document, *wanted.document());
                            assert!(rule.is_open(wanted));
                        }
                        Err(refused) => {
                            assert_eq!((refused.edition, &refused.rule), (wanted, &rule.id));
                            assert!(book.refusal(&rule.id, wanted).is_some());
                        }
                    }
                }
                n_changes += usize::from(rule.dated.iter().any(|dated| dated.from == edition));
            }
        }
        assert_eq!(n_changes, book.rules().map(|rule| rule.dated.len() - 1).sum::<usize>());
    }

    #[test]
    fn nothing_is_adopted_before_the_first_day() {
        let book = Book::built_in();
        let profile = profile(&book, Edition::Y2017);
        let error = profile.on(&book, "1999-12-31".parse().expect("a day")).expect_err("nothing holds yet");
        assert_eq!(error.first.to_string(), "2000-01-01");
    }

    #[test]
    fn the_invented_city_amends_from_its_days() {
        let book = Book::built_in();
        let city = Profile::read(&book, Profile::example_text()).expect("the example is right");
        assert!(city.invented);
        let outdoor = |day: &str| {
            let law = city.on(&book, day.parse().expect("a day")).expect("something holds");
            let ruling = law.ask(rule::DISCONNECT_OUTDOOR).expect("open in these editions");
            (ruling.value.map(|value| value.to_string()), ruling.document.to_string())
        };
        assert_eq!(outdoor("2021-09-30"), (None, "NFPA 70, 2017 edition".to_owned()));
        assert_eq!(outdoor("2021-10-01"), (None, "Ordinance 21-07".to_owned()));
        assert_eq!(outdoor("2022-09-30"), (None, "Ordinance 21-07".to_owned()));
        assert_eq!(outdoor("2022-10-01"), (Some("emergency".to_owned()), "Ordinance 22-19".to_owned()));
        assert_eq!(outdoor("2024-06-30"), (Some("emergency".to_owned()), "Ordinance 22-19".to_owned()));
        let (value, document) = outdoor("2024-07-01");
        assert_eq!(
            value.as_deref(),
            Some("emergency-also-on-replacement"),
            "amendments end with their edition"
        );
        assert_eq!(document, "NFPA 70, 2023 edition");
    }

    #[test]
    fn every_mistake_of_a_profile_is_told() {
        let book = Book::built_in();
        let text = "name = \"Nowhere\"\n\
            adopted = [{ edition = 2020, from = \"2021-01-01\", document = \"a\" }, \
                       { edition = 2017, from = \"2020-01-01\", document = \"\" }]\n\
            [[amendment]]\nrule = \"surge\"\namends = 2023\nfrom = \"soon\"\nvalue = 3\ndocument = \"o\"\nsection = \"1\"\n\
            [[amendment]]\nrule = \"no.such\"\namends = 2020\nfrom = \"2021-01-01\"\ndocument = \"o\"\nsection = \"1\"\n";
        let bad: Vec<String> = Profile::read(&book, text)
            .expect_err("it is full of mistakes")
            .iter()
            .map(|bad| bad.to_string())
            .collect();
        for part in [
            "must follow an older edition",
            "`document`",
            "`soon`",
            "one of the words",
            "does not adopt",
            "`no.such`",
            "absent = true",
        ] {
            assert!(bad.iter().any(|line| line.contains(part)), "{part} is missing in {bad:#?}");
        }
    }

    #[test]
    fn a_confirmation_opens_and_is_stamped() {
        let closed = Book::built_in();
        let error =
            closed.edition(Edition::Y2026).number(rule::OPTIONAL_FIRST).expect_err("it is only reported");
        assert!(error.hint().contains("120.82(B)"), "{}", error.hint());
        let listed = closed.edition(Edition::Y2026).refused();
        assert!(listed.contains(&error) && closed.edition(Edition::Y2023).refused().is_empty());
        let text = format!(
            "{}\n[[confirmed]]\nrule = \"optional.first\"\nedition = 2026\nvalue = 8000\nsection = \"120.82(B)\"\n\
             who = \"A. Reader\"\non = \"2027-01-15\"\n",
            Book::refusals_text()
        );
        let open = Book::with_refusals(&text).expect("the file is right");
        let ruling =
            open.edition(Edition::Y2026).number(rule::OPTIONAL_FIRST).expect("a person confirmed it");
        assert_eq!(ruling.value, 8000.0);
        assert!(ruling.cite().to_string().contains("confirmed by A. Reader on 2027-01-15"));
        assert_eq!(
            open.edition(Edition::Y2023).number(rule::OPTIONAL_FIRST).map(|ruling| ruling.value),
            Ok(10_000.0)
        );
    }
}
