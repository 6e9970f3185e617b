#include "lookout.h"

#include <algorithm>
#include <stdexcept>

#include "model.h"

namespace saywhy {

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
    const std::size_t count = look.cells.size();
    const auto holds = [&](std::size_t i) { return domains[look.cells[i]]; };
    bool same = look.seen.size() == count, open = false;
    for (std::size_t i = 0; i < count; ++i) {
        same = same && look.seen[i] == holds(i);
        open = open || !is_single(holds(i));
    }
    if (same) return look.gone;
    look.seen.resize(count);
    look.gone.assign(count, 0);
    for (std::size_t i = 0; i < count; ++i) look.seen[i] = holds(i);
    if (!open) return look.gone;
    Lease space(model_);
    space->open(look.primitives);
    std::vector<Mask> state(space->state_size()), after = domains;
    space->gather(domains, state.data());
    Limits limits;
    limits.nodes = nodes_;
    support(*space, state.data(), limits);
    space->scatter(state.data(), after);
    for (std::size_t i = 0; i < count; ++i) look.gone[i] = static_cast<Mask>(holds(i) & ~after[look.cells[i]]);
    return look.gone;
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
