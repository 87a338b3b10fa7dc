package payrule

import (
	"strings"

	"fairday/domain/fault"
	"fairday/domain/money"
)

// CodeShare is the code of a share that may have been meant as a percentage.
const CodeShare = "payrule-share"

// ReadShare reads a share as people write it, "0.2", "1/5" or "20%". A number without
// the sign that comes to more than all of it asks back, since 5 reads as 500%; and so
// does 1 where all of it is not usual. It returns CodeShare, or the codes of
// money.ParseRatio.
func ReadShare(s string, usual bool) (money.Ratio, error) {
	r, err := money.ParseRatio(s)
	if err != nil || strings.HasSuffix(strings.TrimSpace(s), "%") {
		return r, err
	}
	if more := r.Cmp(money.Whole(1)); more < 0 || more == 0 && usual {
		return r, nil
	}
	percent, err := r.Mul(money.Whole(100))
	if err != nil {
		return r, err
	}
	return money.Ratio{}, fault.New(CodeShare, "%s reads as %s%%; write %s%% if that was meant, or %s%%", strings.TrimSpace(s), percent, r, percent)
}
