#include "lookout.h"

#include <algorithm>
#include <stdexcept>

#include "model.h"

namespace saywhy {

namespace {

// Answers kept of each look. A path is as fast with 16 of them; a review goes to and fro and meets more again.
constexpr std::size_t kKept = 64;

}  // namespace

int Lookout::add(std::vector<int> primitives, std::vector<int> apart) {
    const int number = static_cast<int>(looks_.size());
    for (const int other : apart) {
        if (other < 0 || other >= number) throw std::invalid_argument("apart: numbers of looks expected");
    }
    std::vector<int> cells = model_.touched(primitives);
    looks_.push_back({std::move(primitives), std::move(apart), std::move(cells), {}, {}});
    return number;
}

const std::vector<Mask>& Lookout::ask(Look& look, const std::vector<Mask>& domains) {
    const std::vector<int>& cells = look.cells;
    const auto same = [&](const Answer& answer) {
        for (std::size_t i = 0; i < cells.size(); ++i) {
            if (answer.seen[i] != domains[cells[i]]) return false;
        }
        return true;
    };
    const auto known = std::ranges::find_if(look.known, same);
    if (known != look.known.end()) return known->gone;
    Answer answer{{}, std::vector<Mask>(cells.size(), 0)};
    bool open = false;
    for (const int cell : cells) {
        answer.seen.push_back(domains[cell]);
        open = open || !is_single(domains[cell]);
    }
    if (open) {
        Lease space(model_);
        space->open(look.primitives);
        std::vector<Mask> state(space->state_size()), after = domains;
        space->gather(domains, state.data());
        Limits limits;
        limits.nodes = nodes_;
        support(*space, state.data(), limits);
        space->scatter(state.data(), after);
        for (std::size_t i = 0; i < cells.size(); ++i) {
            answer.gone[i] = static_cast<Mask>(domains[cells[i]] & ~after[cells[i]]);
        }
    }
    if (look.known.size() < kKept) {
        look.known.push_back(std::move(answer));
        return look.known.back().gone;
    }
    look.next = (look.next + 1) % kKept;
    look.known[look.next] = std::move(answer);
    return look.known[look.next].gone;
}

std::vector<Lookout::Shown> Lookout::shown(const std::vector<Mask>& domains, const std::vector<int>& looks) {
    std::vector<Shown> found;
    for (int place = 0; place < static_cast<int>(looks.size()); ++place) {
        const int number = looks[place];
        if (number < 0 || number >= static_cast<int>(looks_.size())) {
            throw std::invalid_argument("looks: there is no look " + std::to_string(number));
        }
        Look& look = looks_[number];
        std::vector<Mask> gone = ask(look, domains);
        const auto anything = [&] { return std::ranges::any_of(gone, [](Mask mask) { return mask != 0; }); };
        if (!anything()) continue;
        for (const int other : look.apart) {
            const std::vector<Mask>& alone = ask(looks_[other], domains);
            const std::vector<int>& cells = looks_[other].cells;
            for (std::size_t i = 0; i < cells.size(); ++i) {
                const auto at = std::ranges::lower_bound(look.cells, cells[i]);
                if (at != look.cells.end() && *at == cells[i]) {
                    gone[at - look.cells.begin()] &= static_cast<Mask>(~alone[i]);
                }
            }
        }
        Shown shown{place, {}};
        for (std::size_t i = 0; i < gone.size(); ++i) {
            if (gone[i] != 0) shown.gone.emplace_back(look.cells[i], gone[i]);
        }
        if (!shown.gone.empty()) found.push_back(std::move(shown));
    }
    return found;
}

}  // namespace saywhy
