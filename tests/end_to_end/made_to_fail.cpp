// Put before SQLite by LD_PRELOAD: what is written to an archive throws as soon as the file is
// there that QUAYCELL_FAULT names. It stands for a bug in the program, which has none to be shown.
#include <cstdlib>
#include <dlfcn.h>
#include <stdexcept>
#include <unistd.h>

using Destroy = void (*)(void*);

extern "C" int sqlite3_bind_text(void* statement, int place, const char* text, int length,
                                 Destroy destroy) {
    const char* const fault = std::getenv("QUAYCELL_FAULT");
    if (fault != nullptr && ::access(fault, F_OK) == 0) throw std::runtime_error("made to fail");
    using Bind = int (*)(void*, int, const char*, int, Destroy);
    static const auto bind = reinterpret_cast<Bind>(::dlsym(RTLD_NEXT, "sqlite3_bind_text"));
    return bind(statement, place, text, length, destroy);
}
