#include "reference/cylinder_series.h"

#include <cmath>
#include <functional>
#include <numbers>

namespace drydepth::series {
namespace {

constexpr double kPi = std::numbers::pi;

double j(int order, double x) { return std::cyl_bessel_j(order, x); }
double y(int order, double x) { return std::cyl_neumann(order, x); }

double bisected(const std::function<double(double)>& f, double low, double high) {
  const bool rising = f(low) < 0;
  for (int k = 0; k < 60; ++k) {
    const double middle = (low + high) / 2;
    ((f(middle) < 0) == rising ? low : high) = middle;
  }
  return (low + high) / 2;
}

// Zero n (from 1) of J0 and of J1: they lie around (n - 1/4) pi and (n + 1/4) pi.
double zero_of(int order, int n) {
  const double about = (n + (order == 0 ? -0.25 : 0.25)) * kPi;
  return bisected([order](double x) { return j(order, x); }, about - 0.3, about + 0.3);
}

}  // namespace

CylinderSeries::CylinderSeries() {
  for (int n = 1; n <= kTerms; ++n) {
    roots_[n - 1] = zero_of(0, n);
    weights_[n - 1] = 4 / (roots_[n - 1] * roots_[n - 1]);
  }
}

CylinderSeries::CylinderSeries(double l) {
  const auto condition = [l](double b) { return b * j(1, b) - l * j(0, b); };
  double low = 1e-9;
  for (int n = 1; n <= kTerms; ++n) {
    const double root = bisected(condition, low, zero_of(0, n));
    const double square = root * root;
    roots_[n - 1] = root;
    weights_[n - 1] = 4 * l * l / (square * (square + l * l));
    low = zero_of(1, n);
  }
}

double CylinderSeries::left(double t) const {
  double remaining = 0;
  for (int n = 0; n < kTerms; ++n) {
    remaining += weights_[n] * std::exp(-roots_[n] * roots_[n] * t);
  }
  return 1 - remaining;
}

AnnulusSeries::AnnulusSeries(double k, Core core) : k_(k), core_(core) {
  const double spacing = kPi / (k - 1);
  const auto condition = [this](double root) { return mode(root, k_); };
  int found = 0;
  for (double low = spacing / 40; found < kTerms; low += spacing / 40) {
    const double high = low + spacing / 40;
    if ((condition(low) < 0) == (condition(high) < 0)) continue;
    roots_[found++] = bisected(condition, low, high);
  }
}

double AnnulusSeries::mode(double root, double radius) const {
  const int o = core_ == Core::kSealed ? 1 : 0;
  return j(0, root * radius) * y(o, root) - y(0, root * radius) * j(o, root);
}

double AnnulusSeries::slope(double root, double radius) const {
  const int o = core_ == Core::kSealed ? 1 : 0;
  return -root * (j(1, root * radius) * y(o, root) - y(1, root * radius) * j(o, root));
}

double AnnulusSeries::water(double root) const {
  return (slope(root, 1) - k_ * slope(root, k_)) / (root * root);
}

double AnnulusSeries::norm(double root) const {
  const auto at = [&](double r) {
    const double value = mode(root, r), rise = slope(root, r) / root;
    return r * r * (value * value + rise * rise) / 2;
  };
  return at(k_) - at(1);
}

double AnnulusSeries::mean_remaining(double t) const {
  double sum = 0;
  for (const double root : roots_) {
    const double w = water(root);
    sum += w * w / norm(root) * std::exp(-root * root * (k_ - 1) * (k_ - 1) * t);
  }
  return 2 / (k_ * k_ - 1) * sum;
}

double AnnulusSeries::remaining_at(double radius, double t) const {
  double sum = 0;
  for (const double root : roots_) {
    sum += water(root) / norm(root) * mode(root, radius) *
           std::exp(-root * root * (k_ - 1) * (k_ - 1) * t);
  }
  return sum;
}

}  // namespace drydepth::series
