// Prints the events of a recording; `record` writes them beside it.
#include "replay/files.h"
#include "replay/recording.h"

#include <iostream>

int main(int argc, char** argv) {
    using namespace quaycell::replay;
    if (argc != 2) {
        std::cerr << "usage: print_events RECORDING\n";
        return 2;
    }
    try {
        std::cout << events_of(read_recording(text_of(argv[1])));
    } catch (const std::exception& error) {
        std::cerr << argv[1] << ": " << error.what() << '\n';
        return 1;
    }
    return 0;
}
