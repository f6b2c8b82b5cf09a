// A report as plain data, in the order in which it is read; pages.h and html.h set it.
#pragma once

#include "chart/scene.h"

#include <string>
#include <variant>
#include <vector>

namespace quaycell {

/// Who speaks: what was found stands apart from what is thought of it.
enum class Voice { fact, opinion, caution };

struct Paragraph {
    std::string text;
    Voice voice = Voice::fact;
};

/// A fact by its name. An empty value is missing, and is said to be.
struct Entry {
    std::string label;
    std::string value;
};
struct Facts {
    std::vector<Entry> entries;
};

struct TableColumn {
    std::string heading;
    double share; ///< of the width; those of a table sum to 1 at most
    Anchor anchor = Anchor::start;
};
struct Table {
    std::string title; ///< what the rows are; stands above them
    std::vector<TableColumn> columns;
    std::vector<std::vector<std::string>> rows; ///< a cell a column
};

struct Figure {
    Scene scene; ///< as wide as the page's text
    std::string caption;
};

/// Room for a name by hand.
struct Signature {
    std::vector<std::string> lines; ///< what stands under each line
};

using Block = std::variant<Paragraph, Facts, Table, Figure, Signature>;

struct Section {
    std::string heading;
    std::vector<Block> blocks;
};

struct Document {
    std::string title;
    std::string subtitle; ///< boat and place
    std::string footing;  ///< at the foot of every page: which report this is
    std::vector<Section> sections;
    std::string evidence_number{}; ///< of the list of files that go with it; may be empty
};

/// What stands for a missing value.
inline constexpr const char* not_stated = "not stated";

} // namespace quaycell
