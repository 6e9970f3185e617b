// Tests of the core without Python: the example of model.h, random models against a naive solver, limits and
// refusals. Usage: core_test [models] [first seed]; a failure prints its seed and ends with 1.
#include <cstdio>
#include <cstdlib>
#include <set>
#include <stdexcept>
#include <thread>

#include "naive.h"
#include "search.h"

using namespace saywhy;

namespace {

int failures = 0;

void expect(bool fine, const char* what, std::uint64_t seed = 0) {
    if (fine) return;
    ++failures;
    std::printf("failed: %s (seed %llu)\n", what, static_cast<unsigned long long>(seed));
}

void the_example_in_the_header_holds() {
    Model model(4, 16);
    const int row = model.add_different({0, 1, 2, 3});
    const int sum = model.add_linear({1, 1}, {0, 1}, 3);
    Lease space(model);
    space->open(std::vector<int>{row, sum});
    std::vector<Mask> state(space->state_size(), 15);
    Limits limits;
    expect(support(*space, state.data(), limits), "the example finishes");
    expect(state[0] == 3 && state[1] == 3 && state[2] == 12 && state[3] == 12, "the example's domains");
}

std::unique_ptr<Model> build(const naive::Problem& problem) {
    auto model = std::make_unique<Model>(problem.n, problem.cells);
    for (const naive::Primitive& p : problem.primitives) {
        switch (p.kind) {
            case 'd': model->add_different(p.cells); break;
            case 'l': model->add_linear(p.numbers, p.cells, p.total); break;
            case 'p': model->add_pair(p.cells[0], p.cells[1], p.numbers); break;
            case 'r': model->add_regular(p.cells, p.numbers, p.accepting); break;
            default: model->add_count(p.cells);
        }
    }
    model->close();
    return model;
}

// All fillings of an open space, by its own cells.
std::set<std::vector<int>> searched(Space& space, const naive::Problem& problem, std::uint64_t seed) {
    std::vector<Mask> state(space.state_size());
    space.gather(problem.domains, state.data());
    std::set<std::vector<int>> found;
    if (!space.settle(state.data())) return found;
    Limits limits;
    Search search(space, limits, seed);
    search.run(state.data(), [&](const Mask* filling) {
        std::vector<int> digits;
        for (int cell = 0; cell < space.cells(); ++cell) digits.push_back(lowest(filling[cell]) + 1);
        expect(found.insert(digits).second, "no filling comes twice", seed);
        return true;
    });
    return found;
}

void a_random_model_agrees_with_the_naive_solver(std::uint64_t seed) {
    naive::Maker maker(seed);
    const naive::Problem problem = maker.make();
    const auto all = naive::fillings(problem);
    const auto model = build(problem);
    {
        Lease space(*model);
        space->open_all();
        expect(searched(*space, problem, seed % 3) == std::set(all.begin(), all.end()), "fillings of the whole", seed);
    }
    {
        Lease space(*model);
        space->open_all();
        std::vector<Mask> state(space->state_size());
        space->gather(problem.domains, state.data());
        std::uint64_t found = 0;
        Limits limits;
        if (space->settle(state.data())) Search(*space, limits).count(state.data(), UINT64_MAX, found);
        expect(found == all.size(), "the number of fillings", seed);
    }
    naive::Problem part{problem.n, problem.cells, {}, problem.domains};
    std::vector<int> ids;
    for (int id = 0; id < static_cast<int>(problem.primitives.size()); ++id) {
        if (!ids.empty() && maker.below(2)) continue;
        ids.push_back(id);
        part.primitives.push_back(problem.primitives[id]);
    }
    Lease space(*model);
    space->open(ids);
    std::vector<Mask> occurring(space->cells(), 0), state(space->state_size());
    std::set<std::vector<int>> projected;
    for (const auto& filling : naive::fillings(part)) {
        std::vector<int> digits;
        for (int cell = 0; cell < space->cells(); ++cell) {
            digits.push_back(filling[space->global(cell)]);
            occurring[cell] |= static_cast<Mask>(1u << (digits.back() - 1));
        }
        projected.insert(digits);
    }
    expect(searched(*space, problem, 0) == projected, "fillings of a part", seed);
    space->gather(problem.domains, state.data());
    Limits limits;
    expect(support(*space, state.data(), limits), "support finishes", seed);
    state.resize(space->cells());
    expect(state == occurring, "digits that occur in a part", seed);

    // With too few nodes the answer may be wide, never narrow.
    state.assign(space->state_size(), 0);
    space->gather(problem.domains, state.data());
    Limits few;
    few.nodes = static_cast<std::uint64_t>(maker.below(3));
    support(*space, state.data(), few);
    for (int cell = 0; cell < space->cells(); ++cell) {
        expect((occurring[cell] & ~state[cell]) == 0, "nothing that occurs is lost", seed);
    }
}

// Adds the rows and columns of a square board.
void add_lines(Model& model, int n) {
    for (int r = 0; r < n; ++r) {
        std::vector<int> row, column;
        for (int c = 0; c < n; ++c) row.push_back(n * r + c), column.push_back(n * c + r);
        model.add_different(row);
        model.add_different(column);
    }
}

// Remainders met again must not change a count, nor its limit.
void remembered_counts_are_counts() {
    for (const bool joined : {false, true}) {
        Model model(5, 25);
        add_lines(model, 5);
        // With 3 in the first cell no 1 in the last: what is left depends on a digit that no open cell sees.
        if (joined) model.add_pair(0, 24, {31, 31, 30, 31, 31});
        Lease space(model);
        space->open_all();
        std::vector<Mask> state(space->state_size());
        space->gather(std::vector<Mask>(25, 31), state.data());
        expect(space->settle(state.data()), "a Latin square settles");
        std::uint64_t found = 0, plain = 0;
        Limits limits;
        expect(Search(*space, limits).count(state.data(), UINT64_MAX, found) == End::exhausted, "a count ends");
        Search(*space, limits).run(state.data(), [&](const Mask*) { return ++plain != 0; });
        expect(found == plain && (joined || plain == 161280), "Latin squares of order 5");  // 161280: common knowledge
        expect(Search(*space, limits).count(state.data(), 1234, found) == End::enough && found == 1234, "a count's limit");
    }
}

// Boards on which fillings alike to one found are tried: all of these hold, some or none.
void alike_fillings_are_checked() {
    constexpr int n = 7;
    std::vector<int> apart;  // neighbours are not consecutive
    for (int d = 0; d < n; ++d) apart.push_back(((1 << n) - 1) & ~(5 << d >> 1));
    for (const int givens : {0, 1, 3}) {
        Model model(n, n * n);
        add_lines(model, n);
        for (int a = 0; a < n * n; ++a) {
            if ((a + 1) % n) model.add_pair(a, a + 1, apart);
            if (a + n < n * n) model.add_pair(a, a + n, apart);
        }
        model.add_linear({1, 1, 1}, {0, n + 1, 2 * n + 2}, 7);
        std::vector<Mask> domains(n * n, full_mask(n));
        for (int g = 0; g < givens; ++g) domains[(n + 1) * g + 3] = static_cast<Mask>(1u << (2 * g + 1));
        Lease space(model);
        space->open_all();
        std::vector<Mask> state(space->state_size()), trial(space->state_size());
        space->gather(domains, state.data());
        Limits limits;
        expect(support(*space, state.data(), limits), "support finishes");
        for (int cell = 0; cell < n * n; ++cell) {
            for (int d = 0; d < n; ++d) {
                space->gather(domains, trial.data());
                trial[cell] &= static_cast<Mask>(1u << d);
                bool occurs = false;
                if (space->settle(trial.data())) {
                    Search(*space, limits).run(trial.data(), [&](const Mask*) { return !(occurs = true); });
                }
                expect(occurs == (state[cell] >> d & 1), "a digit that occurs", static_cast<std::uint64_t>(givens));
            }
        }
    }
}

void a_search_stops_when_told() {
    Model model(9, 81);
    add_lines(model, 9);
    std::atomic<bool> cancel{false};
    std::thread later([&] {
        std::this_thread::sleep_for(std::chrono::milliseconds(50));
        cancel = true;
    });
    Lease space(model);
    space->open_all();
    std::vector<Mask> state(space->state_size());
    space->gather(std::vector<Mask>(81, 511), state.data());
    Limits limits;
    limits.cancel = &cancel;
    expect(space->settle(state.data()), "an empty Latin square settles");
    const End end = Search(*space, limits).run(state.data(), [](const Mask*) { return true; });
    later.join();
    expect(end == End::stopped && limits.out, "cancelling ends an endless count");
    Limits nodes;
    nodes.nodes = 1000;
    expect(Search(*space, nodes).run(state.data(), [](const Mask*) { return true; }) == End::stopped, "nodes end it");
    expect(nodes.used == 1000, "exactly the nodes allowed are used");
}

template <class Call>
void refused(Call call, const char* what) {
    try {
        call();
    } catch (const std::invalid_argument&) {
        return;
    } catch (const std::out_of_range&) {
        return;
    }
    expect(false, what);
}

void mistakes_are_refused() {
    Model model(9, 4);
    refused([] { Model(17, 4); }, "17 digits");
    refused([] { Model(9, 257); }, "257 cells");
    refused([&] { model.add_different({}); }, "no cells");
    refused([&] { model.add_different({0, 0}); }, "a cell twice");
    refused([&] { model.add_different({0, 4}); }, "a cell that is not there");
    refused([&] { model.add_linear({1}, {0, 1}, 3); }, "too few coefficients");
    refused([&] { model.add_linear({0}, {0}, 3); }, "a coefficient of 0");
    refused([&] { model.add_linear({1 << 30, 1 << 30}, {0, 1}, 3); }, "coefficients too large");
    refused([&] { model.add_pair(0, 1, {1, 2}); }, "a table too short");
    refused([&] { model.add_regular({0}, {9, 0, 0, 0, 0, 0, 0, 0, 0}, {0}); }, "a move to no state");
    refused([&] { model.add_regular({0}, {}, {}); }, "an automaton of no states");
    refused([&] { Lease(model)->open(std::vector<int>{0}); }, "an id that is not there");
    expect(model.size() == 0, "what is refused leaves nothing behind");
}

}  // namespace

int main(int count, char** words) {
    const long models = count > 1 ? std::atol(words[1]) : 20000;
    const long first = count > 2 ? std::atol(words[2]) : 1;
    the_example_in_the_header_holds();
    mistakes_are_refused();
    remembered_counts_are_counts();
    alike_fillings_are_checked();
    a_search_stops_when_told();
    for (long seed = first; seed < first + models && failures < 10; ++seed) {
        a_random_model_agrees_with_the_naive_solver(static_cast<std::uint64_t>(seed));
    }
    if (failures == 0) std::printf("passed, with %ld random models from seed %ld\n", models, first);
    return failures == 0 ? 0 : 1;
}
