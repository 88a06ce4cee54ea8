/* The conventions of the C interface, from a C11 program. */
#include "conventions.h"

int main(void) {
    return run();
}
