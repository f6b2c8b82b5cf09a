// What the pages ask about an archive: its boats, a judged trace with its figure, a survey, a
// report.
#pragma once

#include "judging/boat.h"
#include "web/site.h"

#include <map>
#include <string>
#include <vector>

namespace quaycell::web {

/// What is served is fixed when the program starts; a request can only choose among it.
struct ServedArchive {
    std::string file;
    BoatOptions boat;          ///< with the bytes of its files, so that all pages judge alike
    GivenFile inspection_file; ///< likewise; of a report
    /// Of these, said_options() tells what a report has to carry.
    std::vector<std::string> said;
};

/// "/api/boats", "/api/week", "/api/survey", "/api/report". Without a file each says so.
std::map<std::string, Route> archive_routes(ServedArchive archive);

} // namespace quaycell::web
