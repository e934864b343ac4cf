# Writes the sample part, a flanged bearing housing of our own invention, as ASCII STL:
#   awk -f part.awk > housing.stl
#
# The part is one closed loop of rings turned about the z axis. Neighbouring rings are
# joined by a band of triangles, and the last ring joins the first, so every edge
# belongs to exactly two triangles and the shell has no hole. Three open bolt slots
# are cut in the flange rings only: at a slot's side one angle carries two radii. On
# the other rings these two corners coincide, and the triangle of no area that this
# gives is left out.

# Radius r and height z in mm of one ring; slot is its radius within a bolt slot.
# The rings run up the outside and down the bore, so that normals point outwards.
function ring(r, z, slot) {
  radius[rings] = r
  slot_radius[rings] = slot ? slot : r
  height[rings++] = z
}

function corner(degrees, in_slot) {
  angle[corners] = degrees * atan2(0, -1) / 180
  inside[corners++] = in_slot
}

function rounded(x, text) {
  text = sprintf("%.4f", x)
  return text == "-0.0000" ? "0.0000" : text
}

# Corner c of ring k as it is written: corners that coincide must do so in every digit.
function point(k, c, r) {
  r = inside[c] ? slot_radius[k] : radius[k]
  return rounded(r * cos(angle[c])) " " rounded(r * sin(angle[c])) " " \
    rounded(height[k])
}

function triangle(a, b, c, p, q, s, nx, ny, nz, n) {
  if (a == b || b == c || c == a) return
  split(a, p, " "); split(b, q, " "); split(c, s, " ")
  nx = (q[2] - p[2]) * (s[3] - p[3]) - (q[3] - p[3]) * (s[2] - p[2])
  ny = (q[3] - p[3]) * (s[1] - p[1]) - (q[1] - p[1]) * (s[3] - p[3])
  nz = (q[1] - p[1]) * (s[2] - p[2]) - (q[2] - p[2]) * (s[1] - p[1])
  n = sqrt(nx * nx + ny * ny + nz * nz)
  printf "facet normal %.6f %.6f %.6f\n outer loop\n", nx / n, ny / n, nz / n
  printf "  vertex %s\n  vertex %s\n  vertex %s\n", a, b, c
  print " endloop\nendfacet"
}

function band(k, next_k, c, d) {
  for (c = 0; c < corners; ++c) {
    d = (c + 1) % corners
    triangle(point(k, c), point(k, d), point(next_k, d))
    triangle(point(k, c), point(next_k, d), point(next_k, c))
  }
}

BEGIN {
  rings = corners = 0  # as numbers: they index the arrays
  ring(20, 0)        # bore for the shaft
  ring(60, 0, 47)    # flange
  ring(60, 12, 47)
  ring(42, 12)       # fillet, then the slightly tapered hub
  ring(38, 18)
  ring(36, 64)
  ring(26, 64)       # bearing seat
  ring(26, 46)
  ring(20, 46)

  step = 6           # degrees
  for (a = 0; a < 360; a += step) {
    side = a % 120   # a slot every 120 degrees, two steps wide
    if (side == 54) { corner(a, 0); corner(a, 1) }
    else if (side == 66) { corner(a, 1); corner(a, 0) }
    else corner(a, side == 60)
  }

  print "solid housing"
  for (k = 0; k < rings; ++k) band(k, (k + 1) % rings)
  print "endsolid housing"
}
