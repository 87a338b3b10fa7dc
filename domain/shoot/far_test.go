package shoot

import (
	"slices"
	"testing"
)

// A far kind is asked of the desk: it is a request, and what happened on set never
// waits for one.
func TestFarKindsAreRequests(t *testing.T) {
	n := 0
	for name, row := range intents {
		if row.far && row.fact {
			t.Errorf("%s is a fact and far: what happened shows its effect at once", name)
		}
		if row.far != IsFar(name) {
			t.Errorf("%s is far: %v", name, IsFar(name))
		}
		if row.far {
			n++
		}
	}
	if n == 0 || IsFar("shot.capture") || IsFar("no.such") {
		t.Errorf("%d intents are far", n)
	}
}

// SPEC Q17: a plane that is marked far is seen by nobody's phone, whatever their role,
// and by the desk for whom it would be seen by.
func TestFarPlaneIsInNoPhone(t *testing.T) {
	for _, plane := range []Topic{TopicOffice, TopicMoney, TopicKitchen, TopicAsk, topicDiet, topicPay} {
		was := farPlanes
		farPlanes = map[Topic]bool{plane: true}
		t.Cleanup(func() { farPlanes = was })
		topic := plane
		if plane == topicDiet || plane == topicPay {
			topic += "somebody"
		}
		s := filled()
		for _, r := range Roles() {
			phone, desk := Audience{Person: "somebody", Role: r}, Audience{Person: "somebody", Role: r, Desk: true}
			if phone.Sees(topic) || slices.Contains(planesOf(s.For(phone)), plane) {
				t.Errorf("%s: a %s's phone has it", plane, r)
			}
			farPlanes = nil
			want := phone.Sees(topic)
			farPlanes = map[Topic]bool{plane: true}
			if desk.Sees(topic) != want {
				t.Errorf("%s: the desk sees it for a %s: %v, want %v", plane, r, !want, want)
			}
			if !phone.Sees(TopicFloor) {
				t.Errorf("%s: the floor went with it", plane)
			}
		}
	}
}

// planesOf lists the planes of which a state holds anything.
func planesOf(s *State) (out []Topic) {
	for plane, there := range map[Topic]bool{TopicOffice: s.Office != nil, TopicMoney: s.Money != nil, TopicKitchen: s.Kitchen != nil,
		TopicAsk: len(s.Asks) > 0, topicDiet: len(s.Diets) > 0, topicPay: len(s.Pay) > 0} {
		if there {
			out = append(out, plane)
		}
	}
	return out
}
