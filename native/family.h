// Cells that all see each other hold a set of digits from a family.
#pragma once

#include <memory>

#include "propagator.h"

namespace saywhy {

// Full support on k different digits that as a set belong to a given family: a cage (the sets of its sum), a
// renban (the runs), for grids of up to 9 digits.
//
// Why this way: forwards, which sets can stand in the first i cells; backwards, which of them can be
// completed. One family of sets a place replaces a table of up to 9! fillings, and nothing has to be listed
// when a puzzle is opened.
// Cost: one shift of 2^n bits a digit held, twice.
//
// `family` holds sets of `arity` digits.
std::unique_ptr<const Propagator> make_family(int n, int arity, const std::vector<Mask>& family);

// Lists the digits of each set in every order, by their first digit.
Tuples orders(int n, int arity, const std::vector<Mask>& family);

}  // namespace saywhy
