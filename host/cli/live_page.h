// A logger's readings for the page, for as long as the page is served.
#pragma once

#include "judging/boat.h"
#include "link/steady_logger.h"
#include "web/live_feed.h"
#include "web/survey_desk.h"

namespace quaycell {

/// Hands every reading to the feed, on the scale `display`, and to the survey until interrupted().
/// What the survey is told of shore power is told to those who look on, too. A logger that is lost
/// is waited for; the page is told. Error: why there will be no more readings, of which the page is
/// told, too, as it is of a bug, which is then thrown on.
Result<Done> feed_live(SteadyLogger& logger, const BoatOptions& boat, Scale display,
                       web::LiveFeed& feed, web::SurveyDesk& desk);

/// How feed_live() bears the loss of a logger: for as long as the page is served.
Patience patience_of_page(web::LiveFeed& feed);

} // namespace quaycell
