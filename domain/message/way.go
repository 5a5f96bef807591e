package message

import "coldrail/domain"

// Way is how an owner is told.
type Way string

// The ways there are.
const (
	Text Way = "text"
	Mail Way = "e-mail"
	Call Way = "call"
)

// Words names the way.
func (w Way) Words() domain.Words {
	switch w {
	case Text:
		return domain.Say("text")
	case Mail:
		return domain.Say("mail")
	}
	return domain.Say("call")
}

// Reach is how a person can be told, and how the shop can tell.
type Reach struct {
	TellBy           string // text, call, mail (a letter) or e-mail, as they asked
	Phone, Mail      string
	NoTexts, NoMails bool // they asked for no more of them
	TextsGo, MailsGo bool // the shop has a gateway, a mail server
}

// Way is how the person is told, and, where it is by a call, why. Nobody is texted
// or mailed who asked for something else.
func (r Reach) Way() (Way, domain.Words) {
	switch {
	case r.TellBy == "text" && r.NoTexts:
		return Call, domain.Say("wants no more texts")
	case r.TellBy == "text" && r.Phone == "":
		return Call, domain.Say("no phone number is known")
	case r.TellBy == "text" && !r.TextsGo:
		return Call, domain.Say("no gateway for texts is set")
	case r.TellBy == "text":
		return Text, domain.Words{}
	case r.TellBy == "e-mail" && r.NoMails:
		return Call, domain.Say("wants no more mail")
	case r.TellBy == "e-mail" && r.Mail == "":
		return Call, domain.Say("no e-mail address is known")
	case r.TellBy == "e-mail" && !r.MailsGo:
		return Call, domain.Say("no mail server is set")
	case r.TellBy == "e-mail":
		return Mail, domain.Words{}
	case r.TellBy == "mail":
		return Call, domain.Say("wants a letter")
	}
	return Call, domain.Say("wants a call")
}
