# cmake -DNM=.. -DOBJECT=.. -DKERNEL=.. -P own_symbols.cmake
# A unit compiled for a newer processor may define no symbol that another unit defines too (weak W and V, unique u): the
# linker could take its copy for all. Nor may it run anything before the processor was asked: no dynamic initialiser.
execute_process(COMMAND ${NM} ${OBJECT} OUTPUT_VARIABLE SYMBOLS COMMAND_ERROR_IS_FATAL ANY)
if(NOT SYMBOLS MATCHES " [DR] _ZN8shimwise[0-9]+${KERNEL}E\n")
  message(FATAL_ERROR "${KERNEL} is not defined in \"${OBJECT}\":\n${SYMBOLS}")
endif()
string(REGEX MATCHALL "[^\n]+ [WVu] [^\n]+" SHARED "${SYMBOLS}")
if(SHARED)
  message(FATAL_ERROR "shared with other units:\n${SHARED}")
endif()
string(REGEX MATCHALL "[^\n]*(_GLOBAL__sub_I|__cxx_global_var_init)[^\n]*" INITIALISERS "${SYMBOLS}")
if(INITIALISERS)
  message(FATAL_ERROR "runs at load:\n${INITIALISERS}")
endif()
