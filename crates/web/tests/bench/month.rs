//! A month of a shop whose truth is known: calls come in, panels are described, opened, priced, permitted and done, by job
//! files and forms as a shop would enter them, and the owner's questions are held against what the simulator knows.
//!
//! What happens and how often is invented, after the office, crews and apprentices of the job descriptions.

use crate::ground::{Browser, DAY, Ground};
use axum::http::StatusCode;
use std::collections::BTreeMap;

/// Chances by which the simulator draws; each is also held against the interval that the page gives.
const DECLINED: f64 = 0.3;
const COMPLAINED: f64 = 0.5;
const WET: f64 = 0.35;
const BAD_WHERE_WET: f64 = 0.7;
const BAD_WHERE_DRY: f64 = 0.25;
const PASSED: f64 = 0.8;
const FAILED_FIRST: f64 = 0.4;
const FLAGGED: [(&str, f64); 2] = [("grounding", 0.4), ("labels", 0.7)];
const ON_THE_DAY: f64 = 0.75;
const WRITTEN_DOWN: f64 = 0.8;
const UNPAID: f64 = 0.35;
const TOWNS: [(&str, f64); 3] = [("Quenmarsh", 0.9), ("Thornlow", 0.5), ("Pell Harbour", 0.2)];

/// Other sources, as the isolation plan asks for them.
const SOURCES: [&str; 6] = [
    "a second meter",
    "a generator",
    "solar",
    "a battery",
    "a feed from a neighbour or an outbuilding",
    "feedback through a 240 V load or a shared neutral",
];

/// A generator of even numbers of 64 bits: splitmix64, public domain.
struct Dice(u64);

impl Dice {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^ (mixed >> 31)
    }

    fn chance(&mut self, of: f64) -> bool {
        (self.next() >> 11) as f64 / ((1_u64 << 53) as f64) < of
    }

    fn below(&mut self, n: u64) -> u64 {
        self.next() % n
    }
}

/// What truly happened in a job.
struct Truth {
    job: String,
    town: &'static str,
    same_day_chance: f64,
    called: u64,
    wet: bool,
    /// By stab: burnt, or worn, or neither.
    stabs: Vec<&'static str>,
    /// Day of a stop-gap and its last day, and whether something lasting took its place.
    gap: Option<(u64, u64, bool)>,
    declined: Option<u64>,
    /// A complaint after the first call.
    again: Option<u64>,
    /// The supply came back on the day of the cut.
    same_day: bool,
    /// Permit filed, and passed.
    permit: Option<bool>,
    /// Minutes and people of two steps, and what held the first up.
    minutes: [u64; 2],
    held_up: bool,
    surprises: Vec<&'static str>,
    /// What was flagged at an inspection that did not pass.
    failed: Option<Vec<&'static str>>,
    /// Days between asking the utility and its coming, and whether that was the day booked.
    asked: Option<(u64, bool)>,
    /// What surprises cost, where it was written down: halves of hours, US dollars, and whether it was on the bill.
    costs: Vec<(&'static str, u64, u64, bool)>,
}

/// Days are those of November 2025; what is later lies in December.
fn date(day: u64) -> String {
    if day <= 30 { format!("2025-11-{day:02}") } else { format!("2025-12-{:02}", day - 30) }
}

impl Truth {
    /// `later` draws what is asked of the record since later, so that all else is as it was drawn before.
    fn draw(number: usize, dice: &mut Dice, later: &mut Dice) -> Truth {
        let (town, same_day_chance) = TOWNS[dice.below(3) as usize];
        let called = 1 + dice.below(14);
        let wet = dice.chance(WET);
        let bad = if wet { BAD_WHERE_WET } else { BAD_WHERE_DRY };
        let stabs = (0..dice.below(4)).map(|_| match (dice.chance(bad), dice.chance(0.6)) {
            (true, true) => "burnt",
            (true, false) => "worn",
            (false, _) => "sound",
        });
        let stabs = stabs.collect();
        let gap = dice.chance(0.5).then(|| (called + 1, called + 8 + dice.below(26), dice.chance(0.4)));
        let declined = dice.chance(DECLINED).then_some(called + 2);
        let again = dice.chance(COMPLAINED).then(|| called + 4 + dice.below(6));
        let permit = dice.chance(0.7).then(|| dice.chance(PASSED));
        let questions = ["no-common-disconnect", "hidden-multiwire", "recessed"];
        let same_day = dice.chance(same_day_chance);
        let minutes = [30 + dice.below(120), 20 + dice.below(90)];
        let held_up = dice.chance(0.3);
        let surprises: Vec<&str> = questions.into_iter().filter(|_| dice.chance(0.3)).collect();
        let failed = (permit.is_some() && later.chance(FAILED_FIRST))
            .then(|| FLAGGED.into_iter().filter(|one| later.chance(one.1)).map(|one| one.0).collect());
        let asked = later.chance(0.8).then(|| (1 + later.below(2), later.chance(ON_THE_DAY)));
        let mut costs = Vec::new();
        for id in &surprises {
            if later.chance(WRITTEN_DOWN) {
                costs.push((*id, 1 + later.below(8), 10 * later.below(40), !later.chance(UNPAID)));
            }
        }
        Truth {
            job: format!("M-{number:02}"),
            town,
            same_day_chance,
            called,
            wet,
            stabs,
            gap,
            declined,
            again,
            same_day,
            permit,
            minutes,
            held_up,
            surprises,
            failed,
            asked,
            costs,
        }
    }

    /// The record as the crew writes it, without what comes by form.
    fn job_file(&self) -> String {
        let on = |day: u64, time: &str| format!("{}T{time}", date(day));
        let work = self.called + 3;
        let mut text = format!(
            "panelwright = 1\n[job]\nid = \"{}\"\ninvented = true\nplace = \"{} Example Lane\"\ntown = \"{}\"\n\
             owner = \"the owner\"\nopened = {}\nexposure = \"proven-dead\"\nby = \"crew\"\n\
             [[complaint]]\nkind = \"smell\"\nwords = \"Smells by the panel.\"\nat = {}\n\
             [service]\nrating_a = 100\npath = \"overhead\"\n\
             [[panel]]\nid = \"main\"\nspaces = 12\nmain = \"breaker\"\nmain_a = 100\nmoisture = {}\n\
             bus = {{ metal = \"aluminium\", plating = \"tin\" }}\n",
            self.job,
            self.called,
            self.town,
            date(self.called),
            on(self.called, "08:10"),
            self.wet,
        );
        for space in 1..=6 {
            text +=
                &format!("[[panel.breaker]]\nspace = {space}\nrating_a = 20\nfeeds = \"circuit {space}\"\n");
        }
        if let Some((day, last, lasting)) = self.gap {
            text += &format!(
                "[[work]]\nid = \"gap-{0}\"\nkind = \"stop-gap\"\nwords = \"off and tagged\"\nspaces = [5]\nat = {1}\n\
                 expires = {2}\nrecheck = {2}\n",
                self.job,
                on(day, "11:00"),
                date(last),
            );
            if lasting {
                text += &format!(
                    "[[kept]]\nof = \"gap-{}\"\nwhat = \"end\"\nwords = \"new breaker\"\nat = {}\n",
                    self.job,
                    on(day + 3, "12:00"),
                );
            }
        }
        for question in ["no-common-disconnect", "hidden-multiwire", "recessed"] {
            let answer = if self.surprises.contains(&question) { "yes" } else { "no" };
            text += &format!(
                "[[surprise]]\nquestion = \"{question}\"\nanswer = \"{answer}\"\nat = {}\n",
                on(self.called + 1, "10:00"),
            );
        }
        if let Some(passed) = self.permit {
            let number = format!("INVENTED-{}", self.job);
            text += &format!("[[permit]]\nnumber = \"{number}\"\nat = {}\n", on(self.called + 2, "09:00"));
            if let Some(flagged) = &self.failed {
                text += &format!(
                    "[[permit]]\nnumber = \"{number}\"\nfailed = {}\nflagged = {flagged:?}\nat = {}\n",
                    date(work),
                    on(work, "13:00"),
                );
            }
            if passed {
                text += &format!(
                    "[[permit]]\nnumber = \"{number}\"\npassed = {}\nat = {}\n",
                    date(work),
                    on(work, "15:00"),
                );
            }
        }
        text += &format!("[[cut]]\nwords = \"meter pulled\"\nat = {}\n", on(work, "08:00"));
        for source in SOURCES {
            text += &format!(
                "[[source]]\nwhat = \"{source}\"\nfound = false\nlooked = \"inside and out\"\nat = {}\n",
                on(work, "08:05"),
            );
        }
        for (part, time) in [("main", "08:10"), ("main/bus", "08:12")] {
            text += &format!(
                "[[proof]]\npart = \"{part}\"\ntester = \"tester 1\"\nlive_before = 121.0\nlive_after = 121.1\n\
                 volts = {{ \"A-B\" = 0, \"A-neutral\" = 0, \"B-neutral\" = 0, \"A-ground\" = 0, \"B-ground\" = 0, \"neutral-ground\" = 0 }}\n\
                 at = {}\n",
                on(work, time),
            );
        }
        for (space, found) in (1..).zip(&self.stabs) {
            text += &format!(
                "[[opening]]\njoint = \"stab:{space}\"\nfound = \"{found}\"\nat = {}\n",
                on(work, &format!("08:{}", 20 + space)),
            );
        }
        text += &format!(
            "[[outage]]\noption = \"replace-panel\"\ndate = {}\nat = {}\n",
            date(if self.asked.is_some_and(|(_, on_the_day)| !on_the_day) { work - 1 } else { work }),
            on(work - 1, "16:00")
        );
        if let Some((days, _)) = self.asked {
            text += &format!("asked = {}\n", date(work - days));
        }
        let mut clock = 9 * 60;
        let held = if self.held_up { "rust" } else { "" };
        for (step, minutes, words) in [("trace", self.minutes[0], held), ("mount", self.minutes[1], "")] {
            for (done, at) in [(false, clock), (true, clock + minutes)] {
                text += &format!(
                    "[[tick]]\nstep = \"{step}\"\ndone = {done}\npeople = 2\nat = {}\n",
                    on(work, &format!("{:02}:{:02}", at / 60, at % 60)),
                );
                if done && !words.is_empty() {
                    text += &format!("words = \"{words}\"\n");
                }
            }
            clock += minutes + 5;
        }
        let back = if self.same_day { on(work, "16:00") } else { on(work + 1, "10:00") };
        text += &format!("[[cut]]\nrestored = true\nwords = \"meter set\"\nat = {back}\n");
        text
    }

    fn hours(&self) -> f64 {
        self.minutes.iter().map(|minutes| *minutes as f64 * 2.0 / 60.0).sum()
    }
}

/// A line of the table: yes, of, lower and upper bound, figure.
#[derive(Debug, Default)]
struct Row {
    yes: usize,
    of: usize,
    low: f64,
    high: f64,
    figure: f64,
    jobs: String,
}

fn rows(table: &str) -> BTreeMap<String, Row> {
    let mut rows = BTreeMap::new();
    for line in table.lines().skip(1) {
        // Cells with a comma are quoted.
        let (mut cells, mut quoted) = (vec![String::new()], false);
        for letter in line.chars() {
            match letter {
                '"' => quoted = !quoted,
                ',' if !quoted => cells.push(String::new()),
                letter => cells.last_mut().expect("one").push(letter),
            }
        }
        let number = |at: usize| cells[at].parse().unwrap_or_default();
        let row = Row {
            yes: cells[3].parse().unwrap_or_default(),
            of: cells[4].parse().unwrap_or_default(),
            low: number(6),
            high: number(7),
            figure: number(8),
            jobs: cells[10].clone(),
        };
        assert!(rows.insert(format!("{} {}", cells[0], cells[2]), row).is_none(), "two lines of one name");
    }
    rows
}

async fn form(browser: &Browser, path: &str, fields: &[(&str, &str)]) {
    let fields = [fields, &[("csrf", browser.csrf.as_str())]].concat();
    let answer = browser.post(path, &fields).await;
    assert_eq!(answer.status, StatusCode::SEE_OTHER, "{path}: {}", answer.text());
}

/// Sends what the office and the crew enter by form.
async fn enter(truth: &Truth, office: &Browser) {
    let job = &truth.job;
    if let Some(day) = truth.declined {
        let at = format!("{}T09:00:00", date(day));
        let fields = [("entry", "d1"), ("at", at.as_str()), ("words", "not this year"), ("declined", "yes")];
        form(office, &format!("/jobs/{job}/enter/decision"), &fields).await;
    }
    if let Some(day) = truth.again {
        let at = format!("{}T17:00:00", date(day));
        let fields = [("entry", "c1"), ("at", at.as_str()), ("of", "trips"), ("words", "It went off again.")];
        form(office, &format!("/jobs/{job}/enter/complaint"), &fields).await;
    }
}

/// What the crew writes down of surprises after the day, on the page where they were asked for.
async fn count_up(truth: &Truth, office: &Browser) {
    let mut fields = vec![("entry".to_owned(), "s1".to_owned())];
    for (id, halves, usd, charged) in &truth.costs {
        fields.push((format!("q-{id}"), "yes".to_owned()));
        fields.push((format!("hours-{id}"), (*halves as f64 / 2.0).to_string()));
        fields.push((format!("usd-{id}"), usd.to_string()));
        fields.push((format!("charged-{id}"), if *charged { "yes" } else { "no" }.to_owned()));
    }
    if 1 < fields.len() {
        fields.push(("at".to_owned(), format!("{}T18:00:00", date(truth.called + 4))));
        let fields: Vec<(&str, &str)> =
            fields.iter().map(|(name, value)| (name.as_str(), value.as_str())).collect();
        form(office, &format!("/jobs/{}/surprises", truth.job), &fields).await;
    }
}

fn median(mut figures: Vec<f64>) -> f64 {
    figures.sort_by(f64::total_cmp);
    (figures[(figures.len() - 1) / 2] + figures[figures.len() / 2]) / 2.0
}

#[tokio::test]
async fn a_month_of_a_shop_is_answered_as_it_was() {
    let n = if std::env::var_os("RUN_SLOW").is_some() { 400 } else { 40 };
    let ground = Ground::new().await;
    let office = ground.joined("office").await;
    let (mut dice, mut later) = (Dice(20_251_101), Dice(20_251_201));
    let all: Vec<Truth> = (0..n).map(|number| Truth::draw(number, &mut dice, &mut later)).collect();
    for truth in &all {
        let reading = record::read_job("job.toml", &truth.job_file(), DAY);
        let Some(job) = &reading.job else { panic!("{:?}\n{}", reading.problems, truth.job_file()) };
        assert_eq!(study::not_proven(job), [], "what the crew opened was proven dead");
        let stored = ground.bench.store().append(&truth.job, "file", None, &reading.facts).await;
        stored.expect("stored");
        enter(truth, &office).await;
        count_up(truth, &office).await;
    }
    let table = office.get("/questions.csv").await;
    let rows = rows(&table.text());
    let row = |name: &str| rows.get(name).unwrap_or_else(|| panic!("no line {name}: {:?}", rows.keys()));
    let share = |name: &str| (row(name).yes, row(name).of);
    let count = |is: &dyn Fn(&Truth) -> bool| all.iter().filter(|truth| is(truth)).count();
    // The chances behind the shares: how many intervals hold them.
    let mut held = Vec::new();
    let mut holds = |name: &str, chance: f64| {
        held.push((name.to_owned(), row(name).low <= chance && chance <= row(name).high))
    };

    let n_burnt = |truth: &Truth| truth.stabs.iter().filter(|found| **found == "burnt").count();
    let burnt = count(&|truth| 0 < n_burnt(truth));
    assert_eq!(
        share("1 more than one found burnt on the first day"),
        (count(&|truth| 1 < n_burnt(truth)), burnt)
    );

    for (wet, name, chance) in [
        (true, "2 burnt or worn, of joints opened where water was seen", BAD_WHERE_WET),
        (false, "2 burnt or worn, of joints opened where none was seen", BAD_WHERE_DRY),
    ] {
        let stabs = || all.iter().filter(|truth| truth.wet == wet).flat_map(|truth| &truth.stabs);
        assert_eq!(
            share(name),
            (stabs().filter(|found| **found != "sound").count(), stabs().count()),
            "{name}"
        );
        holds(name, chance);
    }

    let median_hours = median(all.iter().map(Truth::hours).collect());
    let told = row("3 person-hours, all ticked steps of a job");
    assert!((told.figure - median_hours).abs() < 0.006 && told.of == n, "{told:?} against {median_hours}");
    assert!(told.low <= told.figure && told.figure <= told.high && told.low < told.high, "{told:?}");
    let trace = rows.keys().filter(|name| name.starts_with("3 ") && name.ends_with(": held up")).count();
    assert_eq!(trace, 1, "one step was held up");

    let filed = count(&|truth| truth.permit.is_some());
    assert_eq!(share("4 passed, of permits filed"), (count(&|truth| truth.permit == Some(true)), filed));
    holds("4 passed, of permits filed", PASSED);

    let failed = count(&|truth| truth.failed.is_some());
    let passed = count(&|truth| truth.permit == Some(true));
    assert_eq!(share("4 passed, of inspections"), (passed, passed + failed));
    for (word, chance) in FLAGGED {
        let name = format!("4 {word} flagged, of inspections that did not pass");
        let flagged = |truth: &Truth| truth.failed.as_ref().is_some_and(|flagged| flagged.contains(&word));
        assert_eq!(share(&name), (count(&flagged), failed), "{name}");
        holds(&name, chance);
    }
    for (town, _) in TOWNS {
        let here = |truth: &Truth| truth.town == town;
        let bad = count(&|truth| here(truth) && truth.failed.is_some());
        let good = count(&|truth| here(truth) && truth.permit == Some(true));
        assert_eq!(share(&format!("4 did not pass, of inspections, {town}")), (bad, bad + good));
        let waits: Vec<f64> =
            all.iter().filter(|truth| here(truth)).filter_map(|truth| Some(truth.asked?.0 as f64)).collect();
        let told = row(&format!("5 from asking to the cut, {town}"));
        assert_eq!((told.of, told.figure), (waits.len(), median(waits)), "{town}");
        let on_the_day = count(&|truth| here(truth) && truth.asked.is_some_and(|asked| asked.1));
        let name = format!("5 cut on the day booked, {town}");
        assert_eq!(share(&name), (on_the_day, told.of));
        holds(&name, ON_THE_DAY);
    }

    for (town, chance) in TOWNS {
        let name = format!("5 same day, {town}");
        let same = count(&|truth| truth.town == town && truth.same_day);
        assert_eq!(share(&name), (same, count(&|truth| truth.town == town)), "{name}");
        holds(&name, chance);
        assert!(all.iter().filter(|truth| truth.town == town).all(|truth| truth.same_day_chance == chance));
    }

    // The invented case of the ground is a job, too, and declined nothing.
    let declined = count(&|truth| truth.declined.is_some());
    assert_eq!(share("8 jobs in which advice was declined"), (declined, n + 1));
    holds("8 jobs in which advice was declined", DECLINED);
    let again = count(&|truth| truth.declined.is_some() && truth.again.is_some());
    assert_eq!(share("8 complained or called again later, of those"), (again, declined));
    holds("8 complained or called again later, of those", COMPLAINED);
    let named: Vec<&str> = row("8 jobs in which advice was declined").jobs.split(' ').collect();
    let who: Vec<&str> =
        all.iter().filter(|truth| truth.declined.is_some()).map(|truth| truth.job.as_str()).collect();
    assert_eq!(named, who, "the jobs behind the count are those in which it was so");

    let open = |truth: &Truth| truth.gap.is_some_and(|(_, _, lasting)| !lasting);
    let left = |truth: &Truth| truth.gap.map_or(0, |(_, last, _)| last as i64 - 31);
    let past = count(&|truth| open(truth) && left(truth) < 0);
    assert_eq!(share("9 past their day, of stop-gaps still open"), (past, count(&open)));
    let soon = count(&|truth| open(truth) && (0..=7).contains(&left(truth)));
    assert_eq!(share("9 end within seven days, of those"), (soon, count(&open)));
    let early = |truth: &Truth| {
        truth.gap.zip(truth.again).is_some_and(|((day, last, _), again)| day < again && again < last)
    };
    let gaps = count(&|truth| truth.gap.is_some());
    assert_eq!(share("10 called before the last day, of stop-gaps"), (count(&early), gaps));

    let surprised = count(&|truth| !truth.surprises.is_empty());
    for question in ["no-common-disconnect", "hidden-multiwire", "recessed"] {
        let name = format!("11 {}, of jobs with any", question.replace('-', " "));
        assert_eq!(share(&name), (count(&|truth| truth.surprises.contains(&question)), surprised), "{name}");
    }

    let costs = || all.iter().flat_map(|truth| &truth.costs);
    let unpaid = costs().filter(|cost| !cost.3).count();
    let name = "11 a surprise: not on the bill, where it was said";
    assert_eq!(share(name), (unpaid, costs().count()));
    holds(name, UNPAID);
    for id in ["", "no-common-disconnect", "hidden-multiwire", "recessed"] {
        let mine = || costs().filter(|cost| id.is_empty() || cost.0 == id);
        let of = if id.is_empty() { "a surprise".to_owned() } else { id.replace('-', " ") };
        let hours = row(&format!("11 {of}: hours beyond the plan"));
        let halves = median(mine().map(|cost| cost.1 as f64).collect());
        assert_eq!((hours.of, hours.figure), (mine().count(), halves / 2.0), "{id}");
        let usd = row(&format!("11 {of}: parts and others"));
        assert_eq!(usd.figure, median(mine().map(|cost| cost.2 as f64).collect()), "{id}");
    }

    // Of 95 % intervals one in twenty may miss.
    let missed: Vec<&String> = held.iter().filter(|(_, holds)| !holds).map(|(name, _)| name).collect();
    assert!(missed.len() <= 1, "{missed:?} of {}", held.len());

    let page = office.get("/questions").await.text();
    assert!(page.contains(&format!("Counted over {} jobs", n + 1)));
    assert!(page.contains(&format!("{past} of {}", count(&open))), "the page says what the table says");
    let first = office.get("/").await.text();
    assert!(
        first.contains("Next page") && first.matches("class=\"row\"").count() == 30,
        "the list comes in pages"
    );
    let found = office.get("/?find=M-07").await.text();
    assert_eq!(found.matches("class=\"row\"").count(), 1);
}
