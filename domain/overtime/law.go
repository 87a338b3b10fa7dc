package overtime

// Law is the labour law that somebody is employed under. Whether they are, and
// under which, is for whoever engages them to say; nothing here decides it.
type Law string

// The laws that there are floors of. The empty Law is nobody's: not an employee,
// or not said.
const (
	LawFederal            Law = "us"                        // United States, federal law alone
	LawCalifornia         Law = "california"                // Labor Code 510 and 512, and federal law
	LawCaliforniaPictures Law = "california-motion-picture" // the same, with the meals of Wage Order 12
	LawNewYork            Law = "new-york"                  // 12 NYCRR 142, and federal law
	LawUK                 Law = "uk"                        // Working Time Regulations 1998
	LawUKYoung            Law = "uk-young"                  // the same, of young workers
	LawEU                 Law = "eu"                        // Directive 2003/88
)

// Laws lists them, the empty one first.
func Laws() []Law {
	return []Law{"", LawFederal, LawCalifornia, LawCaliforniaPictures, LawNewYork, LawUK, LawUKYoung, LawEU}
}

// Label is the law for a person to read.
func (l Law) Label() string {
	switch l {
	case "":
		return "Not an employee, or not said"
	case LawFederal:
		return "Employee, US federal law"
	case LawCalifornia:
		return "Employee, California"
	case LawCaliforniaPictures:
		return "Employee, California, motion picture meals"
	case LawNewYork:
		return "Employee, New York"
	case LawUK:
		return "Employee, United Kingdom"
	case LawUKYoung:
		return "Employee under 18, United Kingdom"
	case LawEU:
		return "Employee, European Union"
	}
	return string(l)
}

// Check refuses what is none of Laws.
func (l Law) Check() error {
	for _, known := range Laws() {
		if l == known {
			return nil
		}
	}
	return fail(CodeFloor, "%q is not a law that we know; use us, california, california-motion-picture, new-york, uk, uk-young or eu", string(l))
}

// Federal tells whether the federal overtime of the United States holds.
func (l Law) Federal() bool {
	return l == LawFederal || l == LawNewYork || l.California()
}

// California tells whether the daily floor of California holds.
func (l Law) California() bool { return l == LawCalifornia || l == LawCaliforniaPictures }

// Rest tells whether rest is owed by it.
func (l Law) Rest() bool { return l == LawUK || l == LawUKYoung || l == LawEU }
