#include "gil.hpp"

#include <atomic>
#include <chrono>
#include <thread>

namespace airchain::bindings {

namespace py = pybind11;

namespace {

std::atomic<bool> python_ends{false};
std::atomic<int> coming_back{0};
std::thread::id main_thread;

/// A thread on its way back into Python. Python does not end while one is.
class ComingBack {
 public:
  ComingBack() {
    ++coming_back;
    if (!python_ends || std::this_thread::get_id() == main_thread) return;
    --coming_back;
    for (;;) std::this_thread::sleep_for(std::chrono::hours(1));
  }
  ~ComingBack() { --coming_back; }
};

void end() {
  main_thread = std::this_thread::get_id();
  python_ends = true;
  const py::gil_scoped_release released;
  while (coming_back > 0) std::this_thread::sleep_for(std::chrono::milliseconds(1));
}

}  // namespace

WithoutGil::WithoutGil() : state_(PyEval_SaveThread()) {}
WithoutGil::~WithoutGil() {
  const ComingBack guard;
  PyEval_RestoreThread(state_);
}

WithGil::WithGil() {
  const ComingBack guard;
  state_ = PyGILState_Ensure();
}
WithGil::~WithGil() { PyGILState_Release(state_); }

void watch_the_end_of_python() {
  py::module_::import("atexit").attr("register")(py::cpp_function(&end));
  const py::module_ os = py::module_::import("os");
  // A fork takes only the thread that asks for it along.
  if (py::hasattr(os, "register_at_fork"))
    os.attr("register_at_fork")(py::arg("after_in_child") =
                                    py::cpp_function([] { coming_back = 0; }));
}

}  // namespace airchain::bindings
