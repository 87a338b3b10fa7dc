package shoot

// Role is what a person does on the shoot; it decides what they see and may do.
type Role string

// The roles.
const (
	Producer     Role = "producer"
	ArtDirector  Role = "art-director"
	Photographer Role = "photographer"
	Digitech     Role = "digitech"
	PropStylist  Role = "prop-stylist"
	FoodStylist  Role = "food-stylist"
	Client       Role = "client"
	Caterer      Role = "caterer"
	Talent       Role = "talent"
	Crew         Role = "crew"
)

// Roles lists every role in the order people are shown in.
func Roles() []Role {
	return []Role{Producer, ArtDirector, Photographer, Digitech, PropStylist, FoodStylist, Client, Caterer, Talent, Crew}
}

// Valid tells whether the role is one of Roles.
func (r Role) Valid() bool { return r.Label() != "" }

// Label is the role in words, or "" for an unknown one.
func (r Role) Label() string {
	switch r {
	case Producer:
		return "Producer"
	case ArtDirector:
		return "Art director"
	case Photographer:
		return "Photographer"
	case Digitech:
		return "Digital technician"
	case PropStylist:
		return "Prop stylist"
	case FoodStylist:
		return "Food stylist"
	case Client:
		return "Client"
	case Caterer:
		return "Caterer"
	case Talent:
		return "Talent"
	case Crew:
		return "Crew"
	}
	return ""
}

// Topic names one plane of the state, or one person's rows in the plane of diets
// or of own pay.
type Topic string

// The topics. TopicFloor is seen by everybody.
const (
	TopicFloor   Topic = "floor"
	TopicOffice  Topic = "office"  // drafts of call sheets
	TopicMoney   Topic = "money"   // terms, hires, approvals
	TopicKitchen Topic = "kitchen" // covers, and who eats what while a meal is served
	TopicAsk     Topic = "ask"     // overtime that is asked for
	topicDiet    Topic = "diet:"   // followed by a person's id
	topicPay     Topic = "pay:"    // followed by a person's id: the pay that they are shown of their own
)

func dietTopic(p PersonID) Topic { return topicDiet + Topic(p) }
func payTopic(p PersonID) Topic  { return topicPay + Topic(p) }

// farPlanes are those that only far screens read. They are in no phone's stream and
// in no snapshot; the desk alone sees them, when it makes a screen for somebody.
// There is none yet: near screens read some part of each plane. A new plane that is
// for desk work alone is named here.
var farPlanes = map[Topic]bool{}

// plane is the plane that the topic names, or names one person's rows of.
func (t Topic) plane() Topic {
	for _, plane := range []Topic{topicDiet, topicPay} {
		if t.of(plane) {
			return plane
		}
	}
	return t
}

// of tells whether the topic is one person's row of a plane.
func (t Topic) of(plane Topic) bool { return len(t) > len(plane) && t[:len(plane)] == plane }

// IsPay tells whether the topic is somebody's own pay.
func (t Topic) IsPay() bool { return t.of(topicPay) }

// Audience is a complete description of what one person sees.
type Audience struct {
	Person PersonID
	Role   Role
	Desk   bool // looks at a far screen, which the desk makes: sees the far planes of the role too
}

// Sees is the allow-list: a topic that is not named here is seen by nobody.
func (a Audience) Sees(t Topic) bool {
	if !a.Desk && farPlanes[t.plane()] {
		return false
	}
	switch t {
	case TopicFloor:
		return true
	case TopicOffice:
		return a.Role == Producer || a.Role == ArtDirector
	case TopicMoney:
		return a.Role == Producer
	case TopicKitchen:
		return a.Role == Producer || a.Role == Caterer
	case TopicAsk:
		return a.Role == Producer || a.Role == ArtDirector || a.Role == Client
	case dietTopic(a.Person), payTopic(a.Person):
		return true
	}
	return a.Role == Producer && (t.of(topicDiet) || t.of(topicPay))
}

// For gives the part of the state that an audience sees, sharing nothing that
// Apply changes.
func (s *State) For(a Audience) *State {
	out := s.Clone()
	if !a.Sees(TopicOffice) {
		out.Office = nil
	}
	if !a.Sees(TopicMoney) {
		out.Money = nil
	}
	if !a.Sees(TopicKitchen) {
		out.Kitchen = nil
	}
	for p := range out.Diets {
		if !a.Sees(dietTopic(p)) {
			delete(out.Diets, p)
		}
	}
	if !a.Sees(TopicAsk) {
		out.Asks = nil
	}
	for key, row := range out.Pay {
		if !a.Sees(payTopic(row.Person)) {
			delete(out.Pay, key)
		}
	}
	if !a.Sees(dietTopic("another person")) {
		out.AllDiets = false
	}
	return out
}

// AudienceOf gives the audience a person is now; false for nobody we know or
// somebody whose access was withdrawn.
func (s *State) AudienceOf(p PersonID) (Audience, bool) {
	who, ok := s.Floor.People[p]
	if !ok || who.Revoked {
		return Audience{}, false
	}
	return Audience{Person: p, Role: who.Role}, true
}
