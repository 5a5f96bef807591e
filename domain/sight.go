package domain

// Private is a group of things about a person that not all work in the shop needs.
// A birth date would be one; none is asked and none is kept.
type Private string

// The groups. An owner's name is in none of them: it stands on the rail, on the
// labels and on the boxes, so that meat is not mixed up.
const (
	Names     Private = "names"     // who killed it, who brought it, who fetched it
	Phones    Private = "phones"    // phone numbers
	Addresses Private = "addresses" // postal addresses
	Licences  Private = "licences"  // licence and identity numbers
)

// sight is the one place that says whose work needs a group. Lead and owner do
// everybody's work (May), so they see each.
var sight = map[Private][]string{
	Names:     {"counter"}, // answers the warden, hands the meat over
	Phones:    {"counter"}, // calls
	Addresses: {"counter"}, // enters the register, writes the letters
	Licences:  {"counter"}, // enters the register
}

// SeenBy reports whether somebody taken on for roles needs the group for their work.
// A group that is not in the table is nobody's.
func (p Private) SeenBy(roles []string) bool {
	needs, known := sight[p]
	return known && May(roles, needs...)
}

// Logged reports whether each look at the group is written down. Phones are not:
// they stand wherever somebody is called, all day.
func (p Private) Logged() bool { return p != Phones }

// NoName stands for the name of somebody of whom the counter has only a phone number
// so far.
const NoName = "no name yet"

var privateWords = map[Private]string{Names: "names", Phones: "phones", Addresses: "addresses", Licences: "license numbers"}

// Words names the group.
func (p Private) Words() Words { return Say(privateWords[p]) }
