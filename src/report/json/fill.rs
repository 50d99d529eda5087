//! Fills the JSON report from examinations.

use super::{
    AnswerOf, AskOf, CoverageOf, Description, Examined, Exit, ExplanationOf, FaultOf, FindingOf, Labelled,
    LineCounts, LineOf, PaceGroup, PaceOf, PaceRow, PaperFile, PollHours, QuestionOf, Report, Reproduction,
    SettingOf, SourceOf, StatementOf, SumOf, Tool, UnknownOf, VersionAnswer,
};
use crate::examination::Examination;
use crate::finding::{Answer, Finding, Place};
use crate::report::evidence::{self, Role};
use crate::report::{
    CAUTIONS, Frame, NO_EVIDENCE, NOT_EXAMINED, Paper, TOOL, VERSION, asks, clock, coverage, exit_code,
    exit_meaning, explanations, pace, papers, provenance, questions, terminal, titled, vocabulary,
};
use crate::report::{rehearsed, share, sums};
use crate::rules;
use crate::source::Shown;
use crate::syntax::LineKind;

/// The whole report.
pub(super) fn report(examinations: &[Examination<'_>], frame: &Frame) -> Report {
    let code = exit_code(examinations);
    Report {
        tool: Tool { name: TOOL.to_owned(), version: VERSION.to_owned() },
        demonstration: frame.demonstration.then(|| NO_EVIDENCE.to_owned()),
        command: frame.command.to_string(),
        reproduction: reproduction(examinations, frame),
        case_file: frame.case_file.as_ref().map(paper),
        mapping_file: frame.mapping_file.as_ref().map(paper),
        examinations: examinations.iter().map(|examination| examined(examination, frame)).collect(),
        not_examined: NOT_EXAMINED.iter().map(|text| (*text).to_owned()).collect(),
        cautions: CAUTIONS.iter().map(|text| (*text).to_owned()).collect(),
        exit: Exit { code, meaning: exit_meaning(code).to_owned() },
    }
}

/// One run has one case and one unit description: those of its first examination.
fn reproduction(examinations: &[Examination<'_>], frame: &Frame) -> Reproduction {
    let first = examinations.first();
    let settings = first.map(|first| provenance::settings(first.case)).unwrap_or_default();
    Reproduction {
        rule_book_sha256: provenance::rule_book().to_string(),
        rules: rules::RULES.len(),
        unit_description_sha256: first.map(|first| first.unit.digest.to_string()).unwrap_or_default(),
        settings_sha256: first
            .map(|first| provenance::settings_digest(first.case).to_string())
            .unwrap_or_default(),
        settings: settings
            .into_iter()
            .map(|setting| SettingOf {
                about: setting.about.to_owned(),
                text: setting.text.to_string(),
                origin: setting.origin.to_string(),
            })
            .collect(),
        zone_data: provenance::zone_data(),
        fonts: frame.fonts.iter().map(paper).collect(),
        date: frame.date.as_ref().map(Shown::to_string),
    }
}

fn paper(paper: &Paper) -> PaperFile {
    PaperFile { name: paper.name.to_string(), bytes: paper.bytes, sha256: paper.digest.to_string() }
}

fn labelled(about: &str, text: &Shown) -> Labelled {
    Labelled { about: about.to_owned(), text: text.to_string() }
}

fn examined(examination: &Examination<'_>, frame: &Frame) -> Examined {
    let (log, unit) = (examination.log, examination.unit);
    let comments = log.lines().iter().enumerate().filter(|(_, line)| line.kind == LineKind::Comment);
    let versions = examination.versions.iter().filter(|version| !version.as_str().is_empty());
    Examined {
        source: source(examination),
        unit_description: Description {
            name: Shown::inert(&unit.name).to_string(),
            version: Shown::inert(&unit.version).to_string(),
            sha256: unit.digest.to_string(),
            file: frame.unit_file.as_ref().map(paper),
        },
        matter: papers::matter(examination.case).iter().map(|(about, text)| labelled(about, text)).collect(),
        coverage: coverage_of(examination),
        days: super::day::days(examination),
        questions: questions::told(examination).into_iter().map(question_of).collect(),
        answers: examination.answers.iter().map(|answer| answer_of(examination, answer)).collect(),
        findings: examination
            .findings
            .iter()
            .enumerate()
            .map(|(at, one)| finding_of(examination, at, one))
            .collect(),
        least: super::least::least(examination),
        ledgers: super::ledger::ledgers(examination),
        sums: sums::told(examination)
            .into_iter()
            .map(|sum| SumOf { text: sum.text, lines: sum.lines })
            .collect(),
        pace: pace_of(examination),
        asks: asks::requests(examination)
            .into_iter()
            .map(|request| AskOf {
                of: request.of.to_owned(),
                what: request.what,
                serves: request.serves.iter().map(|id| (*id).to_owned()).collect(),
            })
            .collect(),
        versions: versions.map(Shown::to_string).collect(),
        versions_cut: examination.versions_cut,
        stated: papers::statements(examination.case)
            .into_iter()
            .map(|paper| StatementOf {
                about: paper.about.to_owned(),
                text: paper.text.to_string(),
                basis: paper.basis.to_string(),
                line: paper.line,
                used: paper.used,
            })
            .collect(),
        comments: comments.map(|(line, _)| line_of(examination, line, "comment")).collect(),
        faults: log
            .faults()
            .iter()
            .map(|fault| FaultOf {
                line: log.line_number(fault.line),
                code: fault.code.word().to_owned(),
                message: fault.code.entry().message.to_owned(),
                right_form: fault.code.entry().help.to_owned(),
            })
            .collect(),
        faults_in_all: log.fault_counts().total(),
        unknown_words: vocabulary::unknown(examination.log)
            .into_iter()
            .map(|unknown| UnknownOf {
                what: unknown.what.to_owned(),
                word: unknown.word.to_string(),
                times: unknown.times,
                first_line: unknown.first_line,
            })
            .collect(),
    }
}

fn source(examination: &Examination<'_>) -> SourceOf {
    let log = examination.log;
    let identity = log.file_identity(&examination.secrecy);
    let headers = log.headers().iter().map(|header| {
        let (key, value) = log.header_parts(header);
        labelled(key.shown().as_str(), &value.shown())
    });
    SourceOf {
        name: log.source().name().to_string(),
        bytes: identity.map(|(bytes, _)| bytes),
        sha256: identity.map(|(_, digest)| digest.to_string()),
        read_as: log.format().map(|format| format.to_string()),
        first_line: log.first_line,
        lines: log.lines().len(),
        headers: headers.collect(),
    }
}

fn coverage_of(examination: &Examination<'_>) -> CoverageOf {
    let coverage = &examination.coverage;
    let [blank, comment, heading, header, record, closing, unread] = coverage.lines;
    CoverageOf {
        first_time: coverage.times.map(|(first, _)| first.to_string()),
        last_time: coverage.times.map(|(_, last)| last.to_string()),
        first_number: coverage.numbers.map(|(first, _)| first.to_string()),
        last_number: coverage.numbers.map(|(_, last)| last.to_string()),
        keeps: coverage.keeps.to_string(),
        front_closed: coverage.front.is_closed(),
        back_closed: coverage.back.is_closed(),
        votes: coverage.votes,
        lines: LineCounts {
            blank,
            comment,
            heading,
            header,
            record,
            closing,
            unread,
            not_read: coverage.lines_not_read,
        },
        poll_hours: share::shares(examination).iter().map(poll_hours).collect(),
        in_words: coverage::statements(examination)
            .into_iter()
            .chain(clock::statements(examination))
            .map(|statement| Labelled { about: statement.about.to_owned(), text: statement.text })
            .collect(),
    }
}

fn poll_hours(share: &share::Share) -> PollHours {
    let seconds = |seconds: i128| i64::try_from(seconds).ok();
    let spoken = share.told.ok();
    PollHours {
        date: share.date.as_ref().map(Shown::to_string),
        hours_s: spoken.and_then(|spoken| seconds(spoken.hours / 1_000_000_000)),
        least_s: spoken.and_then(|spoken| seconds(spoken.seconds().0)),
        most_s: spoken.and_then(|spoken| seconds(spoken.seconds().1)),
        cannot_be_told: share.told.err().map(str::to_owned),
    }
}

fn answer_of(examination: &Examination<'_>, answer: &Answer) -> AnswerOf {
    let rule = rules::rule(answer.rule);
    AnswerOf {
        rule: answer.rule.to_owned(),
        family: rule.map_or("", |rule| rule.family.word()).to_owned(),
        asks: rule.map_or("", |rule| rule.asks).to_owned(),
        answer: answer.verdict.words().to_owned(),
        in_order: answer.in_order,
        contrary: answer.contrary,
        open: answer.open,
        extent: answer.extent.clone(),
        why: answer.why.clone(),
        open_at: answer.open_at.iter().filter_map(|at| line_number(examination, *at)).collect(),
        versions: answer
            .versions
            .iter()
            .map(|(version, verdict)| VersionAnswer {
                version: version.to_string(),
                answer: verdict.words().to_owned(),
            })
            .collect(),
        error_rate: rehearsed::in_short().to_owned(),
    }
}

fn question_of(told: questions::Told) -> QuestionOf {
    QuestionOf {
        number: told.number.map(|number| number.to_string()),
        text: told.text.to_string(),
        asked: told.asked,
        rules: told.rules.iter().map(|id| (*id).to_owned()).collect(),
        paragraph: told.paragraph,
        lines: told.lines,
        left_open: told.open,
        would_settle: told.settles,
    }
}

fn pace_of(examination: &Examination<'_>) -> PaceOf {
    let row = |row: pace::Row| PaceRow { text: row.text, value: row.value, lines: row.lines };
    let group = |group: pace::Group| PaceGroup {
        about: group.about.to_owned(),
        measured: group.rows.into_iter().map(row).collect(),
    };
    let measured = examination.measurements();
    PaceOf {
        introduction: pace::INTRODUCTION.to_owned(),
        not_tested: pace::NO_TEST.to_owned(),
        subject: pace::subject(examination, &measured),
        groups: pace::groups(examination, &measured).into_iter().map(group).collect(),
    }
}

fn line_number(examination: &Examination<'_>, place: Place) -> Option<usize> {
    match place {
        Place::Line(line) => Some(examination.log.line_number(line)),
        Place::Log => None,
    }
}

fn finding_of(examination: &Examination<'_>, at: usize, finding: &Finding) -> FindingOf {
    let rule = rules::rule(finding.rule);
    let basis = rule.map(|rule| terminal::basis(examination, rule)).unwrap_or_default();
    let places =
        std::iter::once((finding.main, Role::Main)).chain(finding.others.iter().map(|at| (*at, Role::Other)));
    let mut lines: Vec<(usize, Role)> = places
        .filter_map(|(at, role)| if let Place::Line(line) = at { Some((line, role)) } else { None })
        .collect();
    lines.sort_unstable();
    FindingOf {
        number: at + 1,
        rule: finding.rule.to_owned(),
        title: titled(finding).to_owned(),
        kind: finding.kind.word().to_owned(),
        kind_means: finding.kind.meaning().to_owned(),
        weight: finding.weight.word().to_owned(),
        expected: finding.expected.clone(),
        shows: finding.shows.clone(),
        measured: finding.measured.clone(),
        assumptions: finding.assumptions.iter().map(|assumption| assumption.0.clone()).collect(),
        lines: lines.into_iter().map(|(line, role)| line_of(examination, line, role.word())).collect(),
        group: finding.group,
        basis: basis.iter().map(|(label, text)| labelled(label, text)).collect(),
        ordinary: rule
            .map_or(&[][..], |rule| rule.ordinary)
            .iter()
            .map(|ordinary| ExplanationOf {
                account: ordinary.account.to_owned(),
                decided_by: ordinary.decided_by.to_owned(),
                against: explanations::says(finding, ordinary).map(str::to_owned),
            })
            .collect(),
        look_next: rule
            .map_or(&[][..], |rule| rule.look_next)
            .iter()
            .map(|next| (*next).to_owned())
            .collect(),
    }
}

fn line_of(examination: &Examination<'_>, line: usize, role: &str) -> LineOf {
    let (record, time) = evidence::number_and_time(examination, line);
    LineOf {
        line: examination.log.line_number(line),
        role: role.to_owned(),
        record,
        time,
        text: examination.log.quote(line, &examination.secrecy).to_string(),
    }
}
