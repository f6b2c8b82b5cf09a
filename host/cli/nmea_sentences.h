// Live readings as NMEA 0183 sentences; NMEA.md tells the layout.
#pragma once

#include "judging/live_view.h"

#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace quaycell {

/// "$" to CR and LF, both included.
inline constexpr std::size_t longest_sentence = 82;

/// One quadruplet of an XDR sentence.
struct Transducer {
    char type;         ///< U voltage, C temperature, G generic
    std::string value; ///< a number
    std::string unit;  ///< "V", "C"; empty for G
    std::string_view id;
};

/// What every sentence ends in before CR and LF: the exclusive or of all between "$" and "*", in
/// two hexadecimal digits.
std::string nmea_checksum(std::string_view between);

/// "$IIXDR,..*hh" with CR and LF, as many in one sentence as it has room for.
std::vector<std::string> xdr_sentences(std::span<const Transducer> transducers);

/// One reading. The potential on agcl/seawater has the first sentence to itself; what is not known,
/// and potentials that show no metal, are left out.
std::vector<std::string> nmea_sentences(const LiveView& view);

} // namespace quaycell
