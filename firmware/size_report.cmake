# cmake -DSIZE=avr-size -DELF=... -DFLASH_BUDGET=bytes -DRAM_BUDGET=bytes -P size_report.cmake
# Prints what the firmware takes and fails when it is more than it may.
execute_process(COMMAND ${SIZE} ${ELF} OUTPUT_VARIABLE report COMMAND_ERROR_IS_FATAL ANY)
# The second line is: text data bss dec hex filename
if(NOT report MATCHES "\n *([0-9]+)[ \t]+([0-9]+)[ \t]+([0-9]+)")
  message(FATAL_ERROR "${SIZE} says nothing that can be read about ${ELF}:\n${report}")
endif()
math(EXPR flash "${CMAKE_MATCH_1} + ${CMAKE_MATCH_2}")
math(EXPR ram "${CMAKE_MATCH_2} + ${CMAKE_MATCH_3}")
message("firmware: ${flash} of ${FLASH_BUDGET} bytes of flash, ${ram} of ${RAM_BUDGET} bytes of static RAM")
if(flash GREATER FLASH_BUDGET OR ram GREATER RAM_BUDGET)
  file(REMOVE ${ELF})
  message(FATAL_ERROR "The firmware is over its budget; see firmware/CMakeLists.txt.")
endif()
