// quaycell serve: the page for the dock and the week.
#include "cli/command.h"
#include "cli/display_scale.h"
#include "cli/interrupt.h"
#include "cli/live_page.h"
#include "cli/logger_port.h"
#include "cli/thread_bug.h"
#include "dossier/report_options.h"
#include "web/archive_pages.h"
#include "web/own_addresses.h"
#include "web/qr_code.h"
#include "web/server.h"
#include "web/survey_desk.h"

#include <charconv>
#include <CLI/CLI.hpp>
#include <fmt/format.h>
#include <iostream>
#include <optional>
#include <thread>

namespace quaycell {

namespace {

struct Options {
    std::string port;
    std::string archive_file;
    BoatOptions boat;
    DisplayScale display;
    GivenFile inspection_file;
    std::string listen = "127.0.0.1:8640";
};

/// "192.168.1.20:8640", "[::1]:8640", or an address alone.
Result<web::Place> place_from(const std::string& text) {
    web::Place place;
    std::string_view rest = text;
    const bool bracketed = rest.starts_with('[');
    const auto colon = rest.rfind(':');
    const bool has_port = colon != std::string_view::npos &&
                          (bracketed ? rest[colon - 1] == ']' : rest.find(':') == colon);
    if (has_port) {
        const std::string_view digits = rest.substr(colon + 1);
        const auto [end, error] =
            std::from_chars(digits.data(), digits.data() + digits.size(), place.port);
        if (error != std::errc() || end != digits.data() + digits.size())
            return Error{ErrorCode::wrong_usage, "this is not the number of a port", text,
                         "Write --listen ADDRESS:PORT, for instance 192.168.1.20:8640."};
        rest = rest.substr(0, colon);
    }
    if (bracketed && rest.ends_with(']')) rest = rest.substr(1, rest.size() - 2);
    place.address = rest;
    return place;
}

bool is_loopback(const std::string& address) {
    return address.starts_with("127.") || address == "::1";
}

/// The addresses by which the page can be opened.
std::vector<std::string> hosts_of(const web::Place& place) {
    const bool all = place.address == "0.0.0.0" || place.address == "::";
    if (!all) return {place.address};
    std::vector<std::string> hosts = web::own_addresses();
    hosts.insert(hosts.begin(), "127.0.0.1");
    return hosts;
}

void print_address(const std::string& host, std::uint16_t port, const web::Tokens& tokens) {
    const bool is_v6 = host.find(':') != std::string::npos;
    const std::string address = fmt::format("http://{0}{1}{2}:{3}/{4}/", is_v6 ? "[" : "", host,
                                            is_v6 ? "]" : "", port, tokens.read);
    const std::string with_key = address + '#' + tokens.change;
    std::cout << "to read:            " << address << "\nto change things too: " << with_key
              << std::endl;
    if (is_loopback(host)) return;
    for (const auto& [what, text] :
         {std::pair{"To read", address}, std::pair{"To walk a survey and make a report", with_key}})
        if (const auto code = web::qr_code(text))
            std::cerr << what << " on a telephone:\n" << *code;
}

/// What the page shows in place of a reading.
constexpr const char* no_logger =
    R"({"lost":"quaycell serve was started without --port: there are no live readings."})";

/// So that all pages judge alike for as long as they are served.
Result<Done> read_files(Options& options) {
    BoatOptions& boat = options.boat;
    for (GivenFile* file :
         {&boat.vessel_file, &boat.criteria_file, &boat.budget_file, &options.inspection_file}) {
        if (!file->is_given()) continue;
        auto bytes = file->read();
        if (!bytes) return bytes.error();
        file->bytes = std::move(*bytes);
    }
    return Done{};
}

/// Those of the command line that a report carries; of the others it knows nothing.
std::vector<std::string> said_of_report(const CLI::App& command) {
    std::vector<std::string> said;
    for (const std::string& each : said_options(command))
        if (parse_said_options({each}, "")) said.push_back(each);
    return said;
}

void print_addresses(const web::Place& place, std::uint16_t port, const web::Tokens& tokens) {
    for (const std::string& host : hosts_of(place))
        print_address(host, port, tokens);
    if (!is_loopback(place.address))
        std::cerr << "Whoever has an address can use it, and on a network it can be overheard: it "
                     "is not encrypted. Each start makes new ones. Ctrl-C ends.\n";
}

Outcome run(Options& options, const std::vector<std::string>& said) {
    const auto place = place_from(options.listen);
    if (!place) return place.error();
    if (options.port.empty() && options.archive_file.empty())
        return Error{ErrorCode::wrong_usage, "there is nothing to show", "",
                     "Give --port PORT for live readings, --archive FILE, or both."};
    if (const auto read = read_files(options); !read) return read;
    if (const auto boat = boat_from(options.boat); !boat) return boat.error();
    web::LiveFeed feed;
    std::optional<SteadyLogger> logger;
    if (!options.port.empty()) {
        auto connected = SteadyLogger::connect(options.port, patience_of_page(feed));
        if (!connected) return connected.error();
        logger.emplace(std::move(*connected));
    } else {
        feed.tell(no_logger);
    }
    const web::Tokens tokens = web::new_tokens();
    web::SurveyDesk desk(options.archive_file, options.boat, !options.port.empty());
    auto routes =
        web::archive_routes({options.archive_file, options.boat, options.inspection_file, said});
    routes.merge(web::survey_routes(desk));
    web::Site site(tokens, web::page_files(), std::move(routes), [](const Error& fault) {
        std::cerr << to_text(fault) + '\n' << std::flush;
    });
    auto server = web::Server::open(*place, std::move(site), feed);
    if (!server) return server.error();
    note_interrupts();
    print_addresses(*place, server->port(), tokens);
    ThreadBug bug;
    const auto tell = [](const std::string& words) { std::cerr << words << std::endl; };
    const auto listen = [&] {
        const auto heard = feed_live(*logger, options.boat, options.display.scale, feed, desk);
        if (!heard) tell(to_text(heard.error()));
    };
    std::jthread listener;
    if (logger) listener = std::jthread([&] { bug.guard(listen, tell); });
    server->run(interrupted);
    if (listener.joinable()) listener.join();
    bug.rethrow();
    return Done{};
}

} // namespace

void add_serve(CLI::App& program, Action& action) {
    const auto options = std::make_shared<Options>();
    CLI::App* command = program.add_subcommand(
        "serve", "A page for telephone and laptop: live reading, survey, boats, weeks, reports");
    add_port_option(*command, options->port);
    command->add_option("--archive", options->archive_file, "Archive that collect has filled")
        ->type_name("FILE");
    add_boat_options(*command, options->boat);
    add_display_scale_option(*command, options->display);
    command
        ->add_option("--inspection", options->inspection_file.path,
                     "For reports: what only you know; see quaycell report")
        ->type_name("FILE");
    command
        ->add_option("--listen", options->listen,
                     "Where the page is to be had: on this computer only, unless this names one of "
                     "its addresses in a network, or 0.0.0.0 for all of them")
        ->type_name("ADDRESS[:PORT]")
        ->capture_default_str();
    command->footer(
        "The addresses are printed, new ones at each start: one to read, one to change things "
        "too.\n"
        "On a network they are not encrypted; use one that you trust. Ctrl-C ends it.\n\n"
        "Examples:\n"
        "  quaycell serve --port /dev/ttyUSB0 --archive tern.quaycell --vessel tern.toml\n"
        "  quaycell serve --port /dev/ttyUSB0 --hull steel --listen 192.168.1.20");
    command->callback([options, command, &action] {
        action = [options, command] { return run(*options, said_of_report(*command)); };
    });
}

} // namespace quaycell
