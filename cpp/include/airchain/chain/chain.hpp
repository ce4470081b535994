#pragma once

#include <string>
#include <vector>

#include "airchain/ambient/ambient.hpp"
#include "airchain/compressor/compressor.hpp"
#include "airchain/cooler/cooler.hpp"
#include "airchain/cycle/setup.hpp"
#include "airchain/cylinder/breathing.hpp"
#include "airchain/cylinder/combustion.hpp"
#include "airchain/cylinder/engine.hpp"
#include "airchain/drive/drive.hpp"
#include "airchain/duct/duct.hpp"
#include "airchain/fuel/fuel.hpp"
#include "airchain/throttle/throttle.hpp"

namespace airchain::chain {

/// Valve at the plenum that vents charge to the open air above a boost.
template <class T>
struct Bypass {
  static constexpr const char* kName = "Bypass";
  T opens_at{base::kInfinity};
  T effective_area{1.0};

  static constexpr auto fields() {
    using base::field;
    return std::tuple{
        field("opens_at", &Bypass::opens_at, "Pa", base::above_up_to(0.0, base::kInfinity),
              "plenum pressure above ambient at which it opens"),
        field("effective_area", &Bypass::effective_area, "m^2", base::above_up_to(0.0, 1.0),
              "flow area fully open times discharge coefficient")};
  }
};

/// How the engine is run at a point, apart from its build.
template <class T>
struct Operation {
  static constexpr const char* kName = "Operation";
  T engine_speed{base::kRequired};
  T engine_acceleration{0.0};

  static constexpr auto fields() {
    using base::field;
    return std::tuple{
        field("engine_speed", &Operation::engine_speed, "rad/s", base::between(20.0, 2500.0),
              "crank speed"),
        field("engine_acceleration", &Operation::engine_acceleration, "rad/s^2",
              base::between(-1e4, 1e4), "of the crank during a sweep; 0 when held steady")};
  }
};

/// The stations in the order the air meets them. Without a compressor the same chain is the
/// naturally aspirated engine: drive, discharge duct, cooler and bypass are then passed over.
template <class T>
struct Chain {
  Operation<T> operation;
  ambient::Ambient<T> ambient;
  duct::Scoop<T> scoop;
  duct::Duct<T> inlet;
  compressor::Compressor<T> compressor;
  drive::Drive<T> drive;
  duct::Duct<T> discharge;
  cooler::Cooler<T> cooler;
  duct::Duct<T> charge_duct;
  throttle::Throttle<T> throttle;
  fuel::Fuel<T> fuel;
  fuel::Injection<T> injection;
  cylinder::Breathing<T> breathing;
  cylinder::Engine<T> engine;
  cylinder::Combustion<T> combustion;
  cylinder::Exhaust<T> exhaust;
  Bypass<T> bypass;
  /// The crank-resolved cylinder whose cycle is run at every point, where the breathing has neither
  /// table nor surface. Only `sweep` solves such a chain.
  std::shared_ptr<const cycle::Setup> cylinder;

  bool supercharged() const { return compressor.map != nullptr; }
};

/// Calls `visit(name, station_a, station_b)` for every station of two chains over different
/// number types; the one list of stations.
template <class A, class B, class Visitor>
void for_each_station(A& a, B& b, Visitor&& visit) {
  visit("operation", a.operation, b.operation);
  visit("ambient", a.ambient, b.ambient);
  visit("scoop", a.scoop, b.scoop);
  visit("inlet", a.inlet, b.inlet);
  visit("compressor", a.compressor, b.compressor);
  visit("drive", a.drive, b.drive);
  visit("discharge", a.discharge, b.discharge);
  visit("cooler", a.cooler, b.cooler);
  visit("charge_duct", a.charge_duct, b.charge_duct);
  visit("throttle", a.throttle, b.throttle);
  visit("fuel", a.fuel, b.fuel);
  visit("injection", a.injection, b.injection);
  visit("breathing", a.breathing, b.breathing);
  visit("engine", a.engine, b.engine);
  visit("combustion", a.combustion, b.combustion);
  visit("exhaust", a.exhaust, b.exhaust);
  visit("bypass", a.bypass, b.bypass);
}

/// Checks every field and that the parts belong together. The operation is checked per point.
/// A chain whose breathing is made by cycles passes only where they are run.
enum class Cycles { are_run, are_not_run };
void validate(const Chain<double>& chain, Cycles cycles = Cycles::are_not_run);

/// The same chain in every lane of T.
template <class T>
Chain<T> broadcast(const Chain<double>& from) {
  Chain<T> to;
  for_each_station(from, to, [](const char*, const auto& a, auto& b) { base::copy_fields(a, b); });
  for (int i = 0; i < drive::kMostBelts; ++i) {
    const auto& belt = from.drive.belts[i];
    to.drive.belts[i] = {T(belt.speed_per_crank_speed), T(belt.power_per_rotor_power),
                         T(belt.capacity), T(belt.mass_term)};
  }
  to.compressor.map = from.compressor.map;
  to.cooler.shape = from.cooler.shape;
  to.cooler.ambient_cooled = from.cooler.ambient_cooled;
  to.injection.place = from.injection.place;
  to.breathing.table = from.breathing.table;
  to.breathing.surface = from.breathing.surface;
  to.breathing.together = from.breathing.together;
  return to;
}

}  // namespace airchain::chain
