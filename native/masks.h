// Sets of digits, and the small helpers that every part of the core shares.
#pragma once

#include <bit>
#include <cstdint>

namespace saywhy {

// A set of digits: bit d - 1 stands for digit d, so sizes up to 16 fit.
using Mask = std::uint16_t;

constexpr int kMostDigits = 16;
constexpr int kMostCells = 256;

// How many digits. By adding up in place: without the popcount instruction, which not every processor of the
// baseline has, std::popcount is a call.
inline int size_of(Mask digits) {
    unsigned m = digits;
    m -= m >> 1 & 0x5555u;
    m = (m & 0x3333u) + (m >> 2 & 0x3333u);
    m = (m + (m >> 4)) & 0x0f0fu;
    return static_cast<int>((m + (m >> 8)) & 0x1fu);
}
// The same for a word of 64 bits, of cells say.
inline int size_of(std::uint64_t bits) {
    bits -= bits >> 1 & 0x5555555555555555u;
    bits = (bits & 0x3333333333333333u) + (bits >> 2 & 0x3333333333333333u);
    bits = (bits + (bits >> 4)) & 0x0f0f0f0f0f0f0f0fu;
    return static_cast<int>(bits * 0x0101010101010101u >> 56);
}
inline bool is_single(Mask digits) { return digits != 0 && (digits & (digits - 1)) == 0; }
inline Mask full_mask(int n) { return static_cast<Mask>((1u << n) - 1); }

// The place from 0 of the lowest digit in a set that is not empty; the digit itself is one more.
inline int lowest(unsigned digits) { return std::countr_zero(digits); }

}  // namespace saywhy
