#define __STDCPP_WANT_MATH_SPEC_FUNCS__ 1 /* ISO/IEC 29124: needed by compilers that default to C++14 */

#include "base/bessel.h"

#include <cmath>

double foci_bessel_k(double order, double x) {
    return std::cyl_bessel_k(order, x);
}
