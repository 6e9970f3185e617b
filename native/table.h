// Full support by a table of all fillings.
#pragma once

#include <array>

#include "propagator.h"

namespace saywhy {

// Keeps exactly the digits that occur in a listed filling (the bit-parallel table propagator: Demeulenaere
// et al., "Compact-Table", CP 2016, without its reversible sparse sets).
//
// Why: a short sum, renban or run of an automaton together with who sees whom has at most a few thousand
// fillings, and one pass over bit sets of that length prunes it perfectly.
// The digits are taken in parts of five, nine digits in two. Invariant: for each place and each set of digits within
// a part, bit t says that filling t has one of these digits in this place. So what a place leaves alive is one word
// a part, whatever its digits are: 0.87 of the time in all, against joining digit by digit.
// Cost: arity * parts * words word operations, and for what the first fillings left do not show as much again at most.
class Table final : public Propagator {
  public:
    Table(int n, const Tuples& fillings);
    bool filter(Mask* domains) const override;

  private:
    static constexpr int kPart = 5, kSubsets = 1 << kPart;

    // The number of a set of digits within a part.
    static int number(int part, unsigned set) { return part * kSubsets + static_cast<int>(set); }
    static int number_of(int digit) { return number(digit / kPart, 1u << digit % kPart); }
    const std::uint64_t* support(int place, int number) const {
        return supports_.data() + (static_cast<std::size_t>(place) * sets_ + number) * words_;
    }
    void list(const Tuples& fillings);
    // Digits that some of the fillings left have, packed.
    std::uint64_t glance(const Mask* domains, const std::uint64_t* alive, int from, int to) const;
    // Which fillings of these words are left; `none` is only where a place has nothing, `all` where none is narrowed.
    enum class Met : std::uint8_t { none, some, all };
    template <int Parts>
    Met meet(const Mask* domains, int from, int to, std::uint64_t* alive) const;

    int n_, arity_, words_;
    int parts_, sets_;  // sets of all parts
    std::vector<Mask> occurring_;
    // The words between which the fillings lie that begin with a digit: listed in order, they lie together.
    std::array<std::uint8_t, kMostDigits> first_{}, last_{};
    std::vector<std::uint64_t> supports_;
    // Filling t as one word, bit place * n + digit; empty where that needs more than 64 bits.
    std::vector<std::uint64_t> packed_;
};

// Above this many fillings the algorithmic propagators are used instead.
constexpr std::size_t kTableLimit = 4096;

}  // namespace saywhy
