#include "airchain/cycle/cycle.hpp"

#include <algorithm>
#include <utility>

#include "airchain/base/guards.hpp"
#include "airchain/cycle/lanes.hpp"
#include "airchain/cycle/spark.hpp"

namespace airchain::cycle {

void validate(const Setup& setup, const std::vector<Point<double>>& points,
              const Controls& controls) {
  validate(setup);
  base::require_fields(controls);
  base::require_that(!points.empty(), "Cycle", "there are no points", "at least one");
  for (const auto& p : points) base::require_fields(p);
  const auto slowest = std::min_element(
      points.begin(), points.end(), [](const auto& a, const auto& b) { return a.speed < b.speed; });
  const double million = cell_steps(setup, *slowest, controls) * 1e-6;
  base::require_that(million <= 1e-6 * kMostCellSteps, "Cycle",
                     base::number_text(million) +
                         " million steps of a cell in one cycle at speed = " +
                         base::number_text(slowest->speed) + " rad/s",
                     "at most 1000 million, about a minute",
                     "fewer cells, a longer pipe, larger steps or a higher speed");
}

double cell_steps(const Setup& setup, const Point<double>& point, const Controls& controls) {
  constexpr double kRunnerWave = 450.0, kPrimaryWave = 900.0;  // m/s, flow included
  const double cycle = 4.0 * base::kPi / point.speed;
  double steps = 4.0 * base::kPi / controls.largest_step;
  for (const auto& [runner, wave] :
       {std::pair{&setup.intake, kRunnerWave}, {&setup.exhaust, kPrimaryWave}})
    steps = std::max(steps,
                     cycle * wave * runner->cells / (controls.courant * runner->acting_length()));
  return steps * std::max(setup.intake.cells + setup.exhaust.cells, 1.0);
}

namespace {

struct Machine {
  Grids grids;
  CourseRunner<double> runner;

  Machine(const Setup& s, const Controls& controls) : grids(s), runner(s, grids, controls) {}

  void run(Course& course, const std::function<bool()>& go_on = {}) {
    Course* next = &course;
    runner.run([&] { return std::exchange(next, nullptr); }, [&] { return !go_on || go_on(); });
  }
  std::vector<CycleResult> run(const std::vector<Point<double>>& points) {
    std::vector<CycleResult> results(points.size());
    Line line(points.data(), results.data(), points.size());
    run(line);
    return results;
  }
};

/// Steps of a trace between two questions whether to go on.
constexpr std::size_t kRowsUnasked = 256;

double pressure_at_valve(const pipe::Pipe<double, gas::Charge>& pipe, double outside) {
  return pipe.size() == 0 ? outside : pipe.cell(pipe.size() - 1).pressure;
}

TraceRow row_of(const Kernel<double>& k, const pipe::Flux<double>& in,
                const pipe::Flux<double>& out, double intake_area, double exhaust_area) {
  const auto& s = k.setup();
  TraceRow row{};
  row.angle = k.angle;
  row.pressure = k.vessel.pressure;
  row.temperature = k.vessel.temperature;
  row.unburned_temperature = k.unburned_temperature;
  row.volume = k.vessel.volume;
  row.burned = k.tally.burned;
  row.intake_pressure = pressure_at_valve(k.intake_pipe, k.point.plenum_pressure);
  row.exhaust_pressure = pressure_at_valve(k.exhaust_pipe, k.point.exhaust_pressure);
  row.intake_flow = in.mass * intake_area;
  row.exhaust_flow = -out.mass * exhaust_area;
  row.intake_area = s.intake_valve.area.at(k.angle);
  row.exhaust_area = s.exhaust_valve.area.at(k.angle);
  return row;
}

}  // namespace

std::vector<CycleResult> solve_line(const Setup& setup, const std::vector<Point<double>>& points,
                                    const Controls& controls) {
  validate(setup, points, controls);
  return Machine(setup, controls).run(points);
}

SparkResult find_spark(const Setup& setup, const Point<double>& point, const SparkSearch& search,
                       const Controls& controls) {
  validate(setup, {point}, controls);
  validate(search, setup);
  SparkResult result;
  SparkCourse course(setup, point, search, result);
  Machine(setup, controls).run(course);
  return result;
}

Traced trace(const Setup& setup, const Point<double>& point, const Controls& controls,
             const std::function<bool()>& go_on) {
  validate(setup, {point}, controls);
  Machine machine(setup, controls);
  Traced traced{};
  Line line(&point, &traced.result, 1);
  bool stopped = false;
  const auto keep_on = [&] { return !(stopped = stopped || (go_on && !go_on())); };
  machine.run(line, keep_on);
  auto& k = machine.runner.kernel();
  if (!stopped) machine.runner.begin_cycle(0);
  while (!stopped && k.angle < k.end_angle() - 1e-9) {
    if (traced.rows.size() % kRowsUnasked == 0 && !keep_on()) break;
    k.step([&](const Kernel<double>& now, double, const auto& in, const auto& out) {
      traced.rows.push_back(row_of(now, in, out, machine.grids.intake.right_area(),
                                   machine.grids.exhaust.right_area()));
    });
  }
  if (stopped) traced = {};
  return traced;
}

}  // namespace airchain::cycle
