#include "airchain/chain/solve.hpp"

namespace airchain::chain {

template Result<double> solve(const Chain<double>& c);

}  // namespace airchain::chain
