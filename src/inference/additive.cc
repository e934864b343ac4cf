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
  // M = I + S'S, by Cholesky; never singular, since the priors add I.
  const Eigen::LLT<Eigen::MatrixXd> m(Eigen::MatrixXd::Identity(n, n) +
                                      s.transpose() * s);
  Additive out;
  // Mean -M^-1 S'r: the minimum of |r + S l|^2 + |l|^2.
  out.mean = -m.solve(s.transpose() * misfit.residual);
  out.root = m.matrixU();
  out.residual.resize(misfit.residual.size() + n);
  out.residual << misfit.residual + s * out.mean, out.mean;
  // -1/2 (|r + S l|^2 + |l|^2) - 1/2 ln det M, with ln det M = 2 sum ln U_kk.
  const double half_log_det = out.root.diagonal().array().log().sum();
  out.log_evidence = -0.5 * out.residual.squaredNorm() - half_log_det;
  return out;
}

// mean + U^-1 n has covariance U^-1 U^-T = M^-1.
Eigen::VectorXd draw_additive(const Additive& additive, std::uint64_t& state) {
  return additive.mean + additive.root.triangularView<Eigen::Upper>().solve(
                             normals(additive.mean.size(), state));
}

}  // namespace drydepth
