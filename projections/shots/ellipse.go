package shots

import "math"

// Ellipse holds a share of the strokes of a pattern (not of its mean). Centre and semi-axes are metres, x across with right
// positive and y along with long positive; Degrees is the direction of the major axis from the x axis, counter-clockwise, above
// -90 and up to 90.
type Ellipse struct {
	CenterX float64 `json:"center_x"`
	CenterY float64 `json:"center_y"`
	Major   float64 `json:"major"` // semi-axis
	Minor   float64 `json:"minor"` // semi-axis
	Degrees float64 `json:"degrees"`
	Share   float64 `json:"share"` // of the strokes inside
}

// EllipseShare is the share of strokes that is drawn: two thirds, as the Course Rating System's accuracy table has it.
const EllipseShare = 2.0 / 3

// EllipseOf is the ellipse that holds a share of a bivariate normal pattern: semi-axes √(λ·(-2 ln(1-share))), λ the eigenvalues
// of the covariance (metres squared).
//
// It returns an *InputError for values that are not finite, a share outside 0 to 1, or a matrix that is no covariance.
func EllipseOf(centre [2]float64, covariance [2][2]float64, share float64) (Ellipse, error) {
	xx, yy, xy := covariance[0][0], covariance[1][1], covariance[0][1]
	switch {
	case !finite(centre[0], centre[1]):
		return Ellipse{}, refuse("centre", "", "is not a finite number")
	case !finite(xx, yy, xy, covariance[1][0]):
		return Ellipse{}, refuse("covariance", "", "is not a finite number")
	case xy != covariance[1][0] || xx < 0 || yy < 0 || xy*xy > xx*yy*(1+1e-9):
		return Ellipse{}, refuse("covariance", "a covariance is symmetric and has no negative eigenvalue", "is not one")
	case !(share > 0 && share < 1):
		return Ellipse{}, refuse("share", "above 0 and below 1", "%g is outside", share)
	}
	half, apart := (xx+yy)/2, math.Hypot((xx-yy)/2, xy)
	scale := -2 * math.Log1p(-share)
	return Ellipse{
		CenterX: centre[0], CenterY: centre[1],
		Major: math.Sqrt((half + apart) * scale), Minor: math.Sqrt(max(0, half-apart) * scale),
		Degrees: math.Atan2(2*xy, xx-yy) / 2 * 180 / math.Pi, Share: share,
	}, nil
}

// Holds reports whether a point, metres across and along, lies inside or on the ellipse.
func (e Ellipse) Holds(across, along float64) bool {
	sin, cos := math.Sincos(e.Degrees * math.Pi / 180)
	x, y := across-e.CenterX, along-e.CenterY
	u, v := (x*cos+y*sin)/e.Major, (y*cos-x*sin)/e.Minor
	return u*u+v*v <= 1
}
