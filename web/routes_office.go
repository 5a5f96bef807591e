package web

import (
	"coldrail/web/closing"
	"coldrail/web/law"
	"coldrail/web/office"
	"coldrail/web/season"
	"coldrail/web/setup"

	"github.com/go-chi/chi/v5"
)

// officeRoutes are the screens away from the meat: the law's records, the end of the
// day, the owner's desk.
func (s *site) officeRoutes(r chi.Router) {
	// Whoever answers the law: the warden's sheet, notices, tags; the owner's rules.
	legal := &law.Pages{DB: s.DB, Now: s.Now}
	r.Get("/dropoff/hours", s.page(legal.ShowHours))
	r.Get("/register/now", s.page(legal.ShowNow))
	r.Get("/notices", s.page(legal.ShowNotices))
	r.Post("/notices", s.page(legal.RaiseNotice))
	r.Post("/notices/{id}", s.page(legal.SendNotice))
	r.Post("/notices/again", s.page(legal.ReopenNotice))
	r.Get("/animals/{number}/tags", s.page(legal.ShowTags))
	r.Post("/animals/{number}/tags", s.page(legal.MoveTag))
	r.Get("/animals/{number}/reached", s.page(legal.ShowReached))
	r.Get("/visits", s.page(legal.ShowVisits))
	r.Post("/visits", s.page(legal.BeginVisit))
	r.Post("/visits/{id}/shown", s.page(legal.ShowVisitor))
	r.Post("/visits/{id}/end", s.page(legal.EndVisit))
	r.Get("/disposal", s.page(legal.ShowDisposal))
	r.Post("/disposal", s.page(legal.HaulOff))
	r.Get("/programmes", s.page(legal.ShowProgrammes))
	r.Post("/programmes/add", s.page(legal.AddProgramme))
	r.Post("/programmes/over", s.page(legal.SignOver))
	r.Post("/programmes/deliver", s.page(legal.Deliver))
	r.Get("/office/forget", s.page(legal.ShowForget))
	r.Post("/office/forget", s.page(legal.Forget))
	r.Get("/office/rules", s.page(legal.ShowRules))
	r.Get("/office/rules/{rule}", s.page(legal.ShowRule))
	r.Post("/office/rules/{rule}", s.page(legal.WriteRule))

	// The lead, at the end of the day.
	ends := &closing.Pages{DB: s.DB, Now: s.Now}
	r.Get("/close", s.page(ends.Show))
	r.Post("/close", s.page(ends.Close))
	r.Get("/close/{day}", s.page(ends.ShowDay))
	r.Get("/close/{day}/sheet", s.page(ends.Sheet))
	r.Post("/close/{day}/recount", s.page(ends.Recount))

	// The owner.
	opening := &setup.Pages{DB: s.DB, Now: s.Now}
	r.Get("/setup", s.page(opening.Show))
	r.Get("/setup/prices", s.page(opening.ShowPrices))
	r.Post("/setup/prices", s.page(opening.SetPrices))
	year := &season.Pages{DB: s.DB, Now: s.Now}
	r.Get("/office/season", s.page(year.Show))
	bureau := &office.Pages{DB: s.DB, Now: s.Now}
	r.Get("/office", s.page(bureau.Show))
	r.Get("/office/tablets", s.page(bureau.ShowTablets))
	r.Post("/office/tablets/{id}/away", s.page(bureau.TurnAway))
	r.Get("/office/shop", s.page(bureau.ShowShop))
	r.Post("/office/shop", s.shop.changes(s.page(bureau.ChangeShop)))
	r.Get("/office/rooms", s.page(bureau.ShowRooms))
	r.Post("/office/rooms", s.page(bureau.BuildRoom))
	r.Post("/office/rooms/{name}/rails", s.page(bureau.MoreRails))
	r.Get("/office/staff", s.page(bureau.ShowStaff))
	r.Post("/office/staff", s.page(bureau.Hire))
	r.Get("/office/staff/{id}", s.page(bureau.ShowPerson))
	r.Post("/office/staff/{id}", s.page(bureau.ChangePerson))
	r.Post("/office/staff/{id}/pin", s.page(bureau.GivePIN))
	r.Post("/office/staff/{id}/password", s.page(bureau.GivePassword))
	r.Get("/office/register/print", s.page(bureau.PrintRegister))
	r.Get("/office/register.csv", s.page(bureau.Register))
	r.Get("/office/looks", s.page(bureau.ShowLooks))
	r.Get("/office/learned", s.page(bureau.ShowLearned))
	r.Post("/office/learned", s.page(bureau.ChooseNumber))
	r.Get("/office/tax", s.page(bureau.ShowTax))
	r.Post("/office/tax", s.page(bureau.SetTax))
	r.Get("/office/prices", s.page(bureau.ShowPrices))
	r.Post("/office/prices", s.page(bureau.BeginPrices))
	r.Get("/office/prices/{version}", s.page(bureau.ShowVersion))
	r.Get("/office/prices/new", s.page(bureau.ShowPrice))
	r.Post("/office/prices/new", s.page(bureau.SetPrice))
	r.Get("/office/prices/new/{code}", s.page(bureau.ShowPrice))
	r.Post("/office/prices/new/{code}", s.page(bureau.SetPrice))
	r.Post("/office/prices/new/{code}/drop", s.page(bureau.DropPrice))
	r.Post("/office/prices/in-force", s.page(bureau.PutInForce))
	r.Post("/office/prices/leave", s.page(bureau.LeavePrices))
	r.Get("/office/protocols", s.page(bureau.ShowProtocols))
	r.Get("/office/protocols/{key}", s.page(bureau.ShowProtocol))
	r.Post("/office/protocols/{key}", s.page(bureau.EditProtocol))
	r.Post("/office/protocols/{key}/hanging", s.page(bureau.JudgeByNewRule))
	r.Get("/office/answers", s.page(bureau.ShowAnswers))
	r.Post("/office/answers", s.page(bureau.SetAnswers))
	r.Get("/office/scales", s.page(bureau.ShowScales))
	r.Post("/office/scales", s.page(bureau.MakeScale))
	r.Get("/office/backups", s.page(bureau.ShowBackups))
	r.Post("/office/backups", s.page(bureau.SetBackups))
	r.Get("/office/alarms", s.page(bureau.ShowAlarms))
	r.Post("/office/alarms", s.page(bureau.SetAlarms))
	r.Post("/office/alarms/test", s.page(bureau.TestAlarm))
	r.Post("/office/scales/{id}/revoke", s.page(bureau.RevokeScale))
	r.Get("/office/sensors", s.page(bureau.ShowSensors))
	r.Post("/office/sensors", s.page(bureau.LetSensorIn))
	r.Post("/office/sensors/{id}/out", s.page(bureau.TakeSensorOut))
}
