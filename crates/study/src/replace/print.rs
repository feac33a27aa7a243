//! The quote and the sheet of the day as papers.

use super::WORK_CAUTIONS;
use super::course::{StepCourse, step_hours};
use super::design::ContestStanding;
use super::outage::{OutageAsk, OutagePlan, plan_outage};
use super::price::{PriceAsk, Prices, price_options};
use super::shop::Shop;
use crate::code::{Book, Chosen};
use crate::print::{Document, Press};
use crate::settings::StudyError;
use model::advice::ChoiceKind;
use model::job::Job;
use model::{Date, DateTime};
use papers::{ContestRow, DayPaper, DayStep, OfferHead, Paper, QuoteChoice, QuotePaper};
use remedy::outage::clock;
use remedy::price::{Group, Price};
use remedy::work::{OPTIONS, steps};

fn head(job: &Job, day: Date) -> OfferHead {
    OfferHead {
        job: job.id.clone(),
        place: if job.town.is_empty() { job.place.clone() } else { format!("{}, {}", job.place, job.town) },
        owner: job.owner.clone(),
        invented: job.invented,
        day: day.to_string(),
        cautions: WORK_CAUTIONS.iter().map(|&caution| caution.to_owned()).collect(),
    }
}

fn range(price: &Price) -> String {
    format!("{} to {}", price.range.low, price.range.high)
}

/// Name of the sheet of the day on the bench, without its ending.
pub const DAY_NAME: &str = "outage-plan";

/// Name of the file of a quote for an option, on the bench. `kind` is `pdf` or `txt`.
pub fn quote_name(option: ChoiceKind, kind: &str) -> String {
    format!("quote-{}.{kind}", option.word())
}

/// What a quote says beside its prices.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Offer<'a> {
    /// Day of the quote.
    pub day: Date,
    /// Last day on which it holds.
    pub valid_until: Date,
    /// The notice of cancelling that the shop's state asks for; empty: not given.
    pub notice: &'a str,
}

/// The quote for one option, PDF and text. Equal input gives equal bytes.
///
/// # Errors
/// Where the typesetter refuses the paper.
pub fn quote_documents(
    job: &Job,
    prices: &Prices,
    option: ChoiceKind,
    offer: &Offer<'_>,
    press: &Press,
) -> Result<Vec<Document>, StudyError> {
    press.documents(job, &[quote_tree(job, prices, option, offer)])
}

fn quote_tree(job: &Job, prices: &Prices, option: ChoiceKind, offer: &Offer<'_>) -> Paper {
    let Offer { day, valid_until, notice } = *offer;
    let chosen = prices.options.iter().find(|one| one.kind == option);
    let price = chosen.and_then(|one| one.without.as_ref().ok());
    let choice = |one: &super::OptionPrice| QuoteChoice {
        title: one.title.to_owned(),
        without: one.without.as_ref().ok().map(range),
        with: one.with.as_ref().and_then(|with| with.as_ref().ok()).map(range),
        leaves: one.leaves.to_owned(),
    };
    let contest = |one: &super::Contest| {
        let (standing, why) = match &one.standing {
            ContestStanding::InScope(why) => ("in_scope", why),
            ContestStanding::LeftOut(why) => ("left_out", why),
            ContestStanding::Open(why) => ("open", why),
        };
        ContestRow { words: one.item.words.clone(), standing, why: why.clone() }
    };
    let all = steps();
    let lines = |group: Group| {
        price.into_iter().flat_map(|price| price.lines.iter()).filter(move |line| line.group == group)
    };
    let quote = QuotePaper {
        head: head(job, day),
        valid_until: valid_until.to_string(),
        book: prices.book.clone(),
        invented_book: prices.invented_book,
        choices: prices.options.iter().map(choice).collect(),
        option: chosen.map(|one| one.title.to_owned()).unwrap_or_default(),
        scope: all.of(option).map(|step| step.words.clone()).collect(),
        groups: price
            .into_iter()
            .flat_map(|price| &price.groups)
            .map(|(group, sum)| (group.words().to_owned(), sum.exact()))
            .collect(),
        expected: price.map(|price| price.mean.exact()).unwrap_or_default(),
        materials: chosen
            .into_iter()
            .flat_map(|one| &one.materials)
            .map(|line| (line.quantity, line.words.clone()))
            .collect(),
        contested: prices.contests.iter().map(contest).collect(),
        allowances: lines(Group::Allowance)
            .map(|line| (line.words.clone(), format!("{}; {} USD on average", line.amount, line.sum.exact())))
            .collect(),
        exclusions: price.map(|price| price.exclusions.clone()).unwrap_or_default(),
        notice: notice.to_owned(),
        notes: prices.notes.clone(),
    };
    papers::quote_paper(&quote)
}

/// The sheet of the day, PDF and text. Equal input gives equal bytes.
///
/// # Errors
/// Where the typesetter refuses the paper.
pub fn day_documents(
    job: &Job,
    plan: &OutagePlan,
    day: Date,
    press: &Press,
) -> Result<Vec<Document>, StudyError> {
    press.documents(job, &[day_tree(job, plan, day)])
}

fn day_tree(job: &Job, plan: &OutagePlan, day: Date) -> Paper {
    let outlook = &plan.outlook;
    let went = step_hours(job, plan.option);
    let time = |at: DateTime| at.strftime("%H:%M").to_string();
    let step = |(idx, task): (usize, &remedy::outage::Task)| {
        let slot = outlook.usual.get(idx).copied().flatten();
        let course = went.iter().find(|one| one.id == task.id).map_or(StepCourse::Open, |one| one.course);
        let (begun, done) = match course {
            StepCourse::Open => (None, None),
            StepCourse::Begun(at) => (Some(at), None),
            StepCourse::Done(from, end) => (from, Some(end)),
        };
        DayStep {
            time: slot
                .map_or_else(|| "–".to_owned(), |slot| format!("{}–{}", clock(slot.start), clock(slot.end))),
            critical: outlook.path.contains(&idx),
            people: task.people,
            words: task.words.clone(),
            begun: begun.map(time).unwrap_or_default(),
            done: done.map(time).unwrap_or_default(),
        }
    };
    let share = |share: f64| format!("{:.0} %", share * 100.0);
    let [short, usual, long] = outlook.dark_h;
    let sheet = DayPaper {
        head: head(job, day),
        work: plan.title.to_owned(),
        date: plan.date.map(|date| date.to_string()),
        start: clock(plan.day.start),
        crew: plan.day.crew,
        back: outlook.back.map(|at| at.map(clock)),
        never: share(outlook.not_that_day()),
        dark: format!("{short:.1} to {long:.1} h, usually {usual:.1} h, where it comes back that day"),
        helps: plan.helps.iter().map(|(words, that_day)| (words.clone(), share(*that_day))).collect(),
        steps: plan.day.tasks.iter().enumerate().map(step).collect(),
        needs: plan
            .needs
            .iter()
            .map(|need| (need.ask.clone(), need.said.clone(), need.advice.clone()))
            .collect(),
        told: plan.told.iter().map(|line| (line.when.clone(), line.who.clone(), line.say.clone())).collect(),
        rules: plan.rules.iter().map(|rule| (rule.says.clone(), rule.origin())).collect(),
        notes: plan.notes.clone(),
    };
    papers::day_sheet(&sheet)
}

/// The quote for an option or the sheet of the day by its file name, as [`quote_name`] and [`DAY_NAME`] give it. `None`: no
/// such paper. Equal input gives equal bytes.
///
/// # Errors
/// Where the typesetter refuses the paper.
pub fn offer_paper(
    job: &Job,
    shop: &Shop,
    code: &Book,
    day: Date,
    press: &Press,
    file: &str,
) -> Result<Option<Document>, StudyError> {
    let chosen = Chosen::of(job, code, None, day).ok();
    let law = chosen.as_ref().and_then(|chosen| chosen.law(code).ok());
    let Some((name, kind)) = file.rsplit_once('.') else { return Ok(None) };
    let made = if name == DAY_NAME {
        let mut ask = OutageAsk::booked(job, shop, law.as_ref(), day);
        ask.n_runs = remedy::outage::RUNS;
        match plan_outage(job, &ask) {
            Ok(plan) => day_tree(job, &plan, day),
            Err(_) => return Ok(None),
        }
    } else {
        let Some(option) = OPTIONS.into_iter().find(|option| quote_name(*option, kind) == file) else {
            return Ok(None);
        };
        let ask = PriceAsk {
            panel: None,
            spaces: None,
            book: &shop.book,
            past: &shop.past,
            law: law.as_ref(),
            day,
            seed: 1,
            n_draws: remedy::price::DRAWS,
        };
        let Ok(prices) = price_options(job, &ask) else { return Ok(None) };
        let valid_until = remedy::price::valid_until(day);
        quote_tree(job, &prices, option, &Offer { day, valid_until, notice: &shop.notice })
    };
    // The bench names it by what it is, the paper by its job, too.
    let named = press.named(job, std::slice::from_ref(&made), &format!("{}.{kind}", made.file_name))?;
    Ok(named)
}
