#include "inference/additive.h"

#include <Eigen/Dense>

#include "inference/ensemble.h"
#include "inference/random.h"

namespace drydepth {

Eigen::VectorXd normals(Eigen::Index n, std::uint64_t& state) {
  Eigen::VectorXd out(n);
  for (Eigen::Index k = 0; k < n; ++k) out[k] = normal_quantile(next_uniform(state));
  return out;
}

Additive integrate_out(const Misfit& misfit) {
  const Eigen::MatrixXd& s = misfit.slope;
  const Eigen::Index n = s.cols();
  const Eigen::LLT<Eigen::MatrixXd> m(Eigen::MatrixXd::Identity(n, n) +
                                      s.transpose() * s);
  Additive out;
  out.mean = -m.solve(s.transpose() * misfit.residual);
  out.root = m.matrixU();
  out.residual.resize(misfit.residual.size() + n);
  out.residual << misfit.residual + s * out.mean, out.mean;
  const double half_log_det = out.root.diagonal().array().log().sum();
  out.log_evidence = -0.5 * out.residual.squaredNorm() - half_log_det;
  return out;
}

Eigen::VectorXd draw_additive(const Additive& additive, std::uint64_t& state) {
  return additive.mean + additive.root.triangularView<Eigen::Upper>().solve(
                             normals(additive.mean.size(), state));
}

}  // namespace drydepth
