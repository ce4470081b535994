#include "airchain/engine/engine.hpp"

#include <algorithm>
#include <cmath>
#include <string>

#include "airchain/base/guards.hpp"
#include "airchain/engine/run.hpp"

namespace airchain::engine {

namespace {

constexpr double kCycle = 4.0 * base::kPi;

void require(bool holds, const std::string& statement, const char* rule, const char* hint = "") {
  base::require_that(holds, Engine::kName, statement, rule, hint);
}

void validate_pipe(const cycle::Runner& pipe) {
  if (pipe.cells > 0.0) cycle::validate(pipe);
}

}  // namespace

cycle::Runner Room::none() {
  cycle::Runner pipe;
  pipe.taper = {1.0, 0.1, 0.1};
  pipe.cells = 0.0;
  return pipe;
}

void validate(const Room& room) {
  base::require_fields(room);
  validate_pipe(room.pipe);
}

int Engine::collector_count() const {
  return collector.empty() ? 0 : 1 + *std::max_element(collector.begin(), collector.end());
}

void validate(const Engine& e) {
  const std::size_t n = e.cylinders();
  require(n > 0, "there are no cylinders", "at least one");
  require(e.firing.size() == n && e.collector.size() == n,
          std::to_string(n) + " cylinders, " + std::to_string(e.firing.size()) +
              " firing angles and " + std::to_string(e.collector.size()) + " collectors",
          "as many of each");
  for (const auto& kind : e.kinds) cycle::validate(kind);
  const int kinds = static_cast<int>(e.kinds.size());
  for (int k : e.kind)
    require(k >= 0 && k < kinds, "kind " + std::to_string(k), "one of the kinds, from 0");
  for (double a : e.firing)
    base::require(Engine::kName, "firing", a, "rad", base::between(0.0, kCycle));
  for (int c : e.collector)
    require(c >= 0 && c < static_cast<int>(n), "collector " + std::to_string(c),
            "from 0, fewer than the cylinders");
  for (int c = 0; c < e.collector_count(); ++c)
    require(std::count(e.collector.begin(), e.collector.end(), c) > 0,
            "collector " + std::to_string(c) + " has no primary", "one at least");
  require(e.plenum.size() <= 1 && e.collectors.size() <= 1, "several rooms of a side",
          "one that stands for all, or none");
  for (const auto* side : {&e.plenum, &e.collectors})
    for (const Room& room : *side) validate(room);
}

void validate(const Engine& engine, const std::vector<EnginePoint>& points,
              const cycle::Controls& controls) {
  validate(engine);
  std::vector<cycle::Point<double>> plain;
  for (const EnginePoint& p : points) {
    plain.push_back(p.point);
    require(p.later.empty() || p.later.size() == engine.cylinders(),
            std::to_string(p.later.size()) + " trims of the spark",
            "as many as there are cylinders, or none");
    for (double later : p.later) {
      auto moved = p.point;
      moved.half_burned += later;
      moved.spark += later;
      const auto& first = engine.kinds.front();
      const bool by_spark = first.phasing == cycle::Phasing::spark;
      base::require(cycle::Point<double>::kName, by_spark ? "spark" : "half_burned",
                    by_spark ? moved.spark : moved.half_burned, "rad",
                    by_spark ? base::between(-1.3, 0.5) : base::between(-0.3, 1.0),
                    "a cylinder's trim moves it there");
    }
  }
  for (const auto& kind : engine.kinds) cycle::validate(kind, plain, controls);
}

Prepared::Prepared(const Engine& engine) : engine_(&engine), nothing_(engine.cylinders(), 0.0) {
  const int n = static_cast<int>(engine.cylinders());
  std::vector<int> order;  // of the kinds, as cylinders name them: the first one's first
  for (int kind : engine.kind)
    if (std::find(order.begin(), order.end(), kind) == order.end()) order.push_back(kind);
  members_.reserve(order.size());
  for (int kind : order) {
    const auto& setup = engine.kinds[static_cast<std::size_t>(kind)];
    grids_.push_back(std::make_unique<cycle::Grids>(setup));
    const auto& g = *grids_.back();
    coarsens_ |= g.coarsens();
    members_.emplace_back();
    for (int c = 0; c < n; ++c)
      if (engine.kind[static_cast<std::size_t>(c)] == kind) members_.back().push_back(c);
    groups_.push_back({&setup, &g.intake, &g.exhaust, &g.coarse_intake, &g.coarse_exhaust,
                       members_.back().data(), static_cast<int>(members_.back().size())});
  }
  const auto side_of = [&](const std::vector<Room>& rooms, int count, auto& shape, auto& coarse) {
    Side side{count, rooms.empty(), 1.0, 0.0, nullptr, nullptr, 300.0};
    if (rooms.empty()) return side;
    side.volume = rooms[0].volume;
    const cycle::Runner& pipe = rooms[0].pipe;
    if (!(pipe.cells > 0.0)) return side;
    auto half = pipe;
    half.cells = std::max(4.0, std::floor(0.5 * pipe.cells));
    shape = std::make_unique<pipe::Shape>(pipe.shape());
    coarse = std::make_unique<pipe::Shape>(half.shape());
    side.shape = shape.get();
    side.coarse = coarse.get();
    side.wall_temperature = pipe.wall_temperature;
    return side;
  };
  plenum_ = side_of(engine.plenum, 1, duct_, coarse_duct_);
  collectors_ = side_of(engine.collectors, engine.collector_count(), outlet_, coarse_outlet_);
  for (const Group& g : groups_) {
    plenum_.mouths += g.count * g.intake->left_area();
    // A collector may hold all of them; that only shortens a step.
    collectors_.mouths += g.count * g.exhaust->left_area();
  }
}

Task Prepared::task(const EnginePoint& point, const cycle::Controls& controls, EngineResult& result,
                    Summary& summary) const {
  result = {};
  result.cylinders.resize(engine_->cylinders());
  result.rooms.resize(1 + static_cast<std::size_t>(collectors_.count));
  Task t{};
  t.groups = groups_.data();
  t.group_count = static_cast<int>(groups_.size());
  t.cylinders = static_cast<int>(engine_->cylinders());
  t.firing = engine_->firing.data();
  t.later = point.later.empty() ? nothing_.data() : point.later.data();
  t.collector = engine_->collector.data();
  t.plenum = plenum_;
  t.collectors = collectors_;
  t.point = point.point;
  t.controls = controls;
  t.coarsens = coarsens_;
  t.results = result.cylinders.data();
  t.rooms = result.rooms.data();
  t.summary = &summary;
  return t;
}

void Prepared::finish(const Summary& summary, EngineResult& result) {
  result.rounds = summary.rounds;
  result.converged = summary.converged;
  const double none = std::nan("");
  const auto numbers = [&](double& value, double told) { value = summary.finite ? told : none; };
  numbers(result.change, summary.change);
  numbers(result.mass_error, summary.mass_error);
  numbers(result.energy_error, summary.energy_error);
  if (!summary.finite)
    for (RoomState& room : result.rooms) room = {none, none, none};
  for (auto& r : result.cylinders) {
    r.converged = summary.converged && !r.refused;
    r.cycles = summary.rounds;
    if (summary.finite && !r.refused) continue;
    for (const auto& number : cycle::kResultNumbers)
      if (number.member != &cycle::CycleResult::cycles) r.*number.member = none;
  }
}

std::size_t Prepared::row_size() const {
  return 2 + static_cast<std::size_t>(collectors_.count) + 3 * engine_->cylinders();
}

namespace {

struct Asked {
  const std::function<bool()>* go_on;
  EngineTrace* trace;
  std::vector<double> row;

  static bool ask(void* context) {
    const auto& go_on = *static_cast<Asked*>(context)->go_on;
    return !go_on || go_on();
  }
  static void keep(void* context) {
    auto& self = *static_cast<Asked*>(context);
    auto& values = self.trace->values;
    values.insert(values.end(), self.row.begin(), self.row.end());
  }
};

}  // namespace

EngineResult solve(const Engine& engine, const EnginePoint& point, const cycle::Controls& controls,
                   EngineTrace* trace, const std::function<bool()>& go_on) {
  validate(engine, {point}, controls);
  const Prepared prepared(engine);
  EngineResult result;
  Summary summary{};
  Task task = prepared.task(point, controls, result, summary);
  Asked asked{&go_on, trace, std::vector<double>(prepared.row_size())};
  task.context = &asked;
  task.go_on = Asked::ask;
  task.row = asked.row.data();
  if (trace != nullptr) {
    *trace = {{}, prepared.row_size()};
    task.watch = Asked::keep;
  }
  if (!Run<double>(task)()) return {};
  Prepared::finish(summary, result);
  return result;
}

}  // namespace airchain::engine
