#include "base/result.h"

namespace quaycell {

namespace {

std::string sentence(std::string text) {
    if (text.empty() || text.back() != '.') text += '.';
    return text;
}

} // namespace

std::string to_text(const Error& error) {
    std::string text = sentence(error.where.empty() ? error.what : error.where + ": " + error.what);
    if (!error.remedy.empty()) text += ' ' + sentence(error.remedy);
    return text;
}

int exit_code(const Error& error) {
    switch (error.code) {
    case ErrorCode::wrong_usage:
    case ErrorCode::wrong_input:
    case ErrorCode::out_of_range:
        return 2;
    default:
        return 1;
    }
}

} // namespace quaycell
