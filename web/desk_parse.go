package web

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"marram.example/projections/handicap"
)

// parseIndex reads a handicap index as golfers write it, in tenths.
func parseIndex(s string) (int, error) {
	i, err := handicap.ParseIndex(s)
	var in *handicap.InputError
	if errors.As(err, &in) {
		return 0, errors.New(in.Problem)
	}
	return int(i), err
}

// parseTenths reads a rating with at most one decimal, in tenths: "71.3", "71,3".
func parseTenths(s string) (int, error) {
	bad := fmt.Errorf("%q is not a rating; write it with one decimal, such as 71.3", s)
	whole, decimal, has := strings.Cut(strings.Replace(s, ",", ".", 1), ".")
	if has && len(decimal) != 1 || whole == "" {
		return 0, bad
	}
	n, err := strconv.ParseUint(whole+decimal, 10, 16)
	if err != nil {
		return 0, bad
	}
	if !has {
		n *= 10
	}
	return int(n), nil
}

// ratingText writes tenths: "71.3".
func ratingText(tenths int) string { return fmt.Sprintf("%d.%d", tenths/10, tenths%10) }
