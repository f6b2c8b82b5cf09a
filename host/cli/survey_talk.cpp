#include "cli/survey_talk.h"

#include "cli/fitted.h"
#include "cli/survey_reading.h"
#include "diagnosis/practice.h"

#include <fmt/format.h>
#include <iostream>

namespace quaycell {

namespace {

void say(const Talk& talk) {
    for (const Said& each : talk)
        std::cerr << fitted_words((each.is_caution ? "  CAUTION: " : "  ") + each.text +
                                  (each.text.ends_with('\n') ? "" : "\n"));
}

void complain(const Error& error) {
    std::cerr << fitted_words("  " + to_text(error) + '\n');
}

void ask(const SurveyWalk& walk, bool by_logger) {
    if (const auto asked = walk.asked()) {
        std::cerr << fitted_words(fmt::format("\n{}?\n  done or cancel: ", state_words(*asked)))
                  << std::flush;
        return;
    }
    const SurveyPoint* point = walk.at();
    if (point == nullptr) {
        std::cerr << fitted_words(fmt::format("\nall points read: {}\n  finish, plug, unplug, "
                                              "anodes-off, dock, check, back: ",
                                              state_words(walk.state())))
                  << std::flush;
        return;
    }
    const auto& points = walk.kept().survey.points;
    std::cerr << fitted_words(fmt::format(
                     "\npoint {} of {}: {}{}\n  {}\n  {}, or a word: ", point - points.data() + 1,
                     points.size(), point->name,
                     point->metal.empty() ? "" : " (" + point->metal + ")",
                     state_words(walk.state()), by_logger ? "Enter to read" : "the reading"))
              << std::flush;
}

Result<Talk> act(SurveyWalk& walk, const SurveyLogger* reader, const SurveyAnswer& answer,
                 Answers& answers) {
    const bool reads = reader != nullptr && answer.word == SurveyWord::read && answer.rest.empty();
    if (!reads) return walk.act(answer);
    if (auto error = walk.why_not_read()) return *error;
    const auto seen = read_point(reader->logger, reader->facts, practice("ac-stop"), answers);
    if (!seen) return seen.error();
    auto talk = walk.take(*seen);
    // A second Enter would read the next fitting with the clip still on this one.
    answers.forget_typed_ahead();
    for (const std::string& line : answers.passed_over())
        std::cerr << fitted_words(
            fmt::format("  typed while it was read, and passed over: {}\n", line));
    return talk;
}

/// After too much AC nobody is told how to go on: an electrician comes first.
Error unfinished(const SurveyWalk& walk, Error error) {
    error.remedy += fmt::format("{}Every point so far is kept{}", error.remedy.empty() ? "" : " ",
                                walk.stopped() ? "." : "; go on with --resume.");
    return error;
}

} // namespace

Result<Done> talk_through(SurveyWalk& walk, const SurveyLogger* reader, Answers& answers) {
    const auto begun = walk.begin();
    if (!begun) return begun.error();
    say(*begun);
    std::cerr << "  ? lists the words.\n";
    while (!walk.is_over()) {
        ask(walk, reader != nullptr);
        const auto line = answers.next();
        if (!line) return unfinished(walk, line.error());
        if (!*line)
            return unfinished(walk,
                              {ErrorCode::refused, "the answers end before \"finish\"", "", ""});
        const auto answer = survey_answer(**line);
        if (!answer) {
            complain(answer.error());
            continue;
        }
        const auto done = act(walk, reader, *answer, answers);
        if (done)
            say(*done);
        else if (done.error().code == ErrorCode::wrong_usage)
            complain(done.error());
        else
            return unfinished(walk, done.error());
    }
    if (walk.stopped()) return unfinished(walk, *walk.stopped());
    return Done{};
}

} // namespace quaycell
