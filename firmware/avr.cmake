# The firmware itself: avr-g++ behind custom commands, one per source, in the same build graph as the
# rest. One project cannot have two C++ compilers; a command with a DEPFILE loses nothing by it.
find_program(AVR_CXX avr-g++)
find_program(AVR_OBJCOPY avr-objcopy)
find_program(AVR_SIZE avr-size)
if(NOT AVR_CXX OR NOT AVR_OBJCOPY OR NOT AVR_SIZE)
  message(FATAL_ERROR "The firmware needs avr-g++, avr-objcopy and avr-size. "
                      "Install the packages gcc-avr, binutils-avr and avr-libc.")
endif()

# Beyond -Os: what makes this program smaller, by trying.
set(AVR_FLAGS -mmcu=atmega328p -std=gnu++14 -Os -flto -mrelax -mcall-prologues -mstrict-X
    -fno-inline-small-functions -fno-ipa-cp -g
    -ffreestanding -fno-exceptions -fno-rtti -fno-threadsafe-statics
    -ffunction-sections -fdata-sections
    -Wall -Wextra -Wpedantic -Wconversion -Wshadow -Wundef -Wcast-qual -Wold-style-cast
    -Wmissing-declarations -Wlogical-op -Werror
    -D__STDC_LIMIT_MACROS # or avr-libc hides INT16_MIN and the like from C++
    -I${CMAKE_CURRENT_LIST_DIR})

# avr_executable(NAME SOURCES... [DEFINES D...]): an ELF in ${CMAKE_CURRENT_BINARY_DIR}.
function(avr_executable name)
  cmake_parse_arguments(PARSE_ARGV 1 arg "" "" "DEFINES")
  list(TRANSFORM arg_DEFINES PREPEND -D)
  set(objects)
  foreach(source ${arg_UNPARSED_ARGUMENTS})
    cmake_path(ABSOLUTE_PATH source BASE_DIRECTORY ${CMAKE_CURRENT_SOURCE_DIR})
    cmake_path(RELATIVE_PATH source BASE_DIRECTORY ${CMAKE_SOURCE_DIR} OUTPUT_VARIABLE place)
    set(object ${CMAKE_CURRENT_BINARY_DIR}/${name}.dir/${place}.o)
    cmake_path(GET object PARENT_PATH folder)
    file(MAKE_DIRECTORY ${folder})
    add_custom_command(
      OUTPUT ${object}
      COMMAND ${AVR_CXX} ${AVR_FLAGS} ${arg_DEFINES} -MMD -MF ${object}.d -MT ${object}
              -c ${source} -o ${object}
      DEPENDS ${source}
      DEPFILE ${object}.d
      COMMENT "avr-g++ ${place}"
      VERBATIM)
    list(APPEND objects ${object})
  endforeach()
  set(elf ${CMAKE_CURRENT_BINARY_DIR}/${name}.elf)
  add_custom_command(
    OUTPUT ${elf}
    COMMAND ${AVR_CXX} ${AVR_FLAGS} -Wl,--gc-sections ${objects} -o ${elf}
    DEPENDS ${objects}
    COMMENT "avr-g++ ${name}.elf"
    VERBATIM)
endfunction()
