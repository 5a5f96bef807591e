package web

import (
	"coldrail/db"
	"coldrail/domain/cutting"
	"coldrail/web/hunter"
)

// ownersLink is the private link of an animal's owner.
func (s *site) ownersLink(a db.Animal) string {
	return hunter.Link(s.PublicURL, s.secret, a.ID, a.LinkRevision)
}

// sharesLink is the private link of the owner of a share.
func (s *site) sharesLink(a db.Animal, portion cutting.Portion) string {
	return hunter.ShareLink(s.PublicURL, s.secret, a.ID, portion, a.LinkRevision)
}
