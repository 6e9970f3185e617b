// What every propagator is: a pure function on the domains of its own cells.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "masks.h"

namespace saywhy {

// Which cells of one primitive see each other: bit pair_bit(i, j) is set where places i < j must differ.
using Seen = std::uint64_t;

// Only the first 11 places of a primitive take part (55 pairs); the others are taken not to see anybody,
// which is sound: a propagator that knows less removes less.
constexpr int kSeenPlaces = 11;
constexpr int pair_bit(int i, int j) { return j * (j - 1) / 2 + i; }
inline bool sees(Seen seen, int i, int j) { return j < kSeenPlaces && (seen >> pair_bit(i, j) & 1); }
// Set besides the pairs where all places see each other.
constexpr Seen kClique = Seen{1} << 63;
// Set besides in the keys of light propagators only.
constexpr Seen kLight = Seen{1} << 62;

// A propagator knows neither cells nor the search: it takes the domains of its places in order and prunes
// them. It is immutable once built, so lines of the same shape share one, in any number of threads.
//
// Why a pure function: sharing, testing against naive enumeration and use inside a look of three cells all
// come for nothing; the price is copying at most a dozen masks in and out, which does not show in a profile.
class Propagator {
  public:
    virtual ~Propagator() = default;

    // Prunes each of `domains`; gives false when nothing is left. It never removes a digit that occurs in a
    // filling.
    virtual bool filter(Mask* domains) const = 0;

    // Whether filter() leaves exactly the supported digits (and so need not run again after itself). A
    // propagator that only says so after its own changes have come to rest must loop inside filter():
    // clearing the dirty flag of one that is not idempotent loses removals, and once gave false solutions.
    virtual bool exact() const { return true; }
};

// The fillings of a primitive, `arity` digits (from 0) each, one after another.
struct Tuples {
    int arity = 0;
    std::vector<std::uint8_t> digits;
    std::size_t count() const { return arity ? digits.size() / arity : 0; }
};

}  // namespace saywhy
