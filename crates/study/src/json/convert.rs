//! From the model to the shapes written, with every number rounded.

use super::advice::ExpectOut;
use super::trend::VisitedOut;
use super::*;
use crate::round;
use model::advice::{CheckAdvice, Choice, Standing, Verdict};
use model::assessment::{
    Class, ComplaintFinding, Interval, JointFinding, Reason, SamplingReport, Statement, SupplyFinding,
};
use model::cite::Note;
use model::trend::{Change, Compared, Trend, Visited};
use model::working::Working;

pub(super) fn assessment(job: &Job, assessment: &Assessment) -> AssessmentOut {
    AssessmentOut {
        format: 1,
        file: None,
        job: assessment.job.clone(),
        invented: job.invented,
        day: assessment.day.to_string(),
        model_version: assessment.model_version.clone(),
        seed: assessment.sampling.seed,
        sampling: sampling(&assessment.sampling),
        verdict: verdict(&assessment.verdict),
        joints: assessment.joints.iter().map(|finding| joint(job, finding)).collect(),
        supply: assessment.supply.iter().map(supply).collect(),
        causes: assessment.causes.iter().map(complaint).collect(),
        options: assessment.options.iter().map(option).collect(),
        next_checks: assessment.next_checks.iter().map(check).collect(),
        statements: assessment.statements.iter().map(statement).collect(),
        trends: assessment.trends.iter().map(trend).collect(),
        notes: assessment.notes.iter().map(note).collect(),
        workings: assessment.workings.iter().map(working).collect(),
        warnings: Vec::new(),
    }
}

fn sampling(report: &SamplingReport) -> SamplingOut {
    SamplingOut {
        n_chains: report.n_chains,
        n_draws: report.n_draws,
        n_sweeps: report.n_sweeps,
        effective_draws: round::plain(report.effective_draws),
        r_hat: round::ratio(report.r_hat),
        worst_standard_error: round::probability(report.worst_standard_error),
        converged: report.converged,
        problem: report.problem.clone(),
    }
}

fn joint(job: &Job, finding: &JointFinding) -> JointOut {
    let id = &finding.joint.id;
    let burnt = round::probability(finding.probability.burnt);
    let worn = round::probability(finding.probability.worn);
    JointOut {
        id: id.to_string(),
        kind: id.kind().word().to_owned(),
        panel: id.panel().to_string(),
        space: id.slot().map(|slot| slot.space.to_string()),
        pole: finding.joint.pole,
        leg: finding.joint.leg.map(|leg| leg.to_string()),
        label: remedy::words::joint_label(&job.installation, id),
        // The rest of the other two as printed, so that the three sum to 1 as printed.
        probability: ProbabilityOut { sound: round::probability(1.0 - worn - burnt), worn, burnt },
        probability_error: round::probability(finding.probability.burnt_standard_error),
        prior_burnt: round::probability(finding.prior_burnt),
        heat_now_w: finding.heat_now_w.and_then(|heat| interval(heat, round::watts)),
        heat_rated_w: interval(finding.heat_rated_w, round::watts),
        current_now_a: finding.current_now_a.and_then(|current| interval(current, round::amperes)),
        current_rated_a: round::amperes(finding.current_rated_a),
        resistance_mohm: interval(finding.resistance_mohm, round::milliohms),
        hot_spot_c: finding.hot_spot_c.and_then(|spot| interval(spot, round::celsius)),
        observed: finding.observed,
        reasons: finding.reasons.iter().map(reason).collect(),
    }
}

fn interval(value: Interval, round: impl Fn(f64) -> Option<f64>) -> Option<IntervalOut> {
    Some(IntervalOut { low: round(value.low)?, median: round(value.median)?, high: round(value.high)? })
}

fn trend(trend: &Trend) -> TrendOut {
    let visited = |visited: &Visited| VisitedOut {
        fact: visited.fact.to_string(),
        day: visited.day.to_string(),
        reading: visited.reading.clone(),
    };
    TrendOut {
        compared: match trend.compared {
            Compared::Drop => "drop",
            Compared::Rise => "rise",
        }
        .to_owned(),
        place: trend.place.to_string(),
        first: visited(&trend.first),
        last: visited(&trend.last),
        factor: trend.factor.and_then(|factor| interval(factor, round::ratio)),
        change: match trend.change {
            Change::More => "more",
            Change::Less => "less",
            Change::NotShown => "not-shown",
            Change::NotComparable(_) => "not-comparable",
        }
        .to_owned(),
        sentence: trend.sentence.clone(),
    }
}

fn reason(reason: &Reason) -> ReasonOut {
    ReasonOut {
        text: reason.text.clone(),
        class: class(reason.class).to_owned(),
        weight_db: round::decibans(reason.weight_db),
        fact: reason.fact.as_ref().map(ToString::to_string),
    }
}

fn class(class: Class) -> &'static str {
    match class {
        Class::Seen => "seen",
        Class::Measured => "measured",
        Class::Inferred => "inferred",
        Class::Unknown => "unknown",
    }
}

fn supply(path: &SupplyFinding) -> SupplyOut {
    SupplyOut {
        path: path.path.clone(),
        resistance_mohm: interval(path.resistance_mohm, round::milliohms),
        failing: round::probability(path.failing),
        reasons: path.reasons.iter().map(reason).collect(),
    }
}

fn complaint(complaint: &ComplaintFinding) -> ComplaintOut {
    let cause = |cause: &model::assessment::CauseFinding| CauseOut {
        cause: cause.cause.word().to_owned(),
        label: cause.cause.phrase().to_owned(),
        probability: round::probability(cause.probability),
        reasons: cause.reasons.clone(),
        joints: cause.joints.iter().map(ToString::to_string).collect(),
    };
    ComplaintOut {
        complaint: complaint.kind.word().to_owned(),
        words: complaint.words.clone(),
        panel: complaint.slot.as_ref().map(|slot| slot.panel.to_string()),
        space: complaint.slot.as_ref().map(|slot| slot.space.to_string()),
        causes: complaint.causes.iter().map(cause).collect(),
        separates: complaint.separates.clone(),
    }
}

fn verdict(verdict: &Verdict) -> VerdictOut {
    let rule = |rule: &model::advice::FiredRule| RuleOut {
        rule: rule.rule.clone(),
        urgency: rule.urgency.word().to_owned(),
        because: rule.because.clone(),
        reason: rule.reason.clone(),
    };
    VerdictOut {
        urgency: verdict.urgency.word().to_owned(),
        summary: verdict.summary.clone(),
        rules: verdict.rules.iter().map(rule).collect(),
        would_change: verdict.would_change.clone(),
        may_change: verdict.may_change.as_ref().map(may_change),
        policy: verdict.policy.clone(),
        cautions: verdict.cautions.clone(),
    }
}

fn may_change(change: &model::advice::MayChange) -> MayChangeOut {
    MayChangeOut {
        more_urgent: crate::round::probability(change.more_urgent),
        less_urgent: crate::round::probability(change.less_urgent),
        checks: change
            .checks
            .iter()
            .map(|check| CheckChanceOut {
                what: check.what.clone(),
                chance: crate::round::probability(check.chance),
            })
            .collect(),
        basis: change.basis.clone(),
    }
}

fn option(choice: &Choice) -> OptionOut {
    let range = |(low, high)| RangeOut { low, high };
    OptionOut {
        option: choice.kind.word().to_owned(),
        title: choice.title.clone(),
        standing: match choice.standing {
            Standing::Recommended => "recommended",
            Standing::Open => "open",
            Standing::Conditional => "conditional",
            Standing::Refused => "refused",
        }
        .to_owned(),
        reasons_for: choice.reasons_for.clone(),
        reasons_against: choice.reasons_against.clone(),
        conditions: choice.conditions.clone(),
        leaves: choice.leaves.clone(),
        consequences: choice.consequences.clone(),
        would_change: choice.would_change.clone(),
        hours_off: choice.hours_off.map(range),
        price_usd: choice.price_usd.map(range),
    }
}

fn check(check: &CheckAdvice) -> CheckOut {
    let expect =
        |(rival, reading): &(String, String)| ExpectOut { rival: rival.clone(), reading: reading.clone() };
    CheckOut {
        what: check.what.clone(),
        kind: check.kind.clone(),
        places: check.places.iter().map(ToString::to_string).collect(),
        joints: check.joints.iter().map(ToString::to_string).collect(),
        exposure: check.exposure.word().to_owned(),
        who: check.who.clone(),
        minutes: round::plain(check.minutes),
        gain_bits: round::plain(check.gain_bits),
        expects: check.expects.iter().map(expect).collect(),
        cautions: check.cautions.clone(),
    }
}

fn statement(statement: &Statement) -> StatementOut {
    StatementOut {
        class: class(statement.class).to_owned(),
        text: statement.text.clone(),
        facts: statement.facts.iter().map(ToString::to_string).collect(),
    }
}

fn note(note: &Note) -> NoteOut {
    let source = note.cite.as_ref().map(ToString::to_string);
    NoteOut { subject: note.subject.clone(), text: note.text.clone(), source }
}

fn working(working: &Working) -> WorkingOut {
    let input = |input: &model::working::Input| WorkingInputOut {
        symbol: input.symbol.clone(),
        meaning: input.meaning.clone(),
        value: input.value.clone(),
        from: input.from.clone(),
    };
    WorkingOut {
        title: working.title.clone(),
        subject: working.subject.clone(),
        formula: working.formula.clone(),
        inputs: working.inputs.iter().map(input).collect(),
        result: working.result.clone(),
        validity: working.validity.clone(),
        source: working.cite.to_string(),
    }
}
