#pragma once

#include <pybind11/pybind11.h>

namespace airchain::bindings {

/// Lets other Python threads run while C++ works, for its lifetime.
///
/// A thread that wants Python's lock back while the interpreter ends is ended by CPython in the
/// middle of a destructor, which aborts the process (CPython before 3.14). Such a thread waits here
/// for the end of the process instead.
class WithoutGil {
 public:
  WithoutGil();
  ~WithoutGil();
  WithoutGil(const WithoutGil&) = delete;
  WithoutGil& operator=(const WithoutGil&) = delete;

 private:
  PyThreadState* state_;
};

/// Holds Python's lock for its lifetime, from C++ that works without it.
class WithGil {
 public:
  WithGil();
  ~WithGil();
  WithGil(const WithGil&) = delete;
  WithGil& operator=(const WithGil&) = delete;

 private:
  PyGILState_STATE state_;
};

/// Has Python call, before it ends, what makes threads wait here.
void watch_the_end_of_python();

}  // namespace airchain::bindings
