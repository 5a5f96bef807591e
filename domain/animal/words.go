package animal

// The words stand apart from the states so that a translator finds them in one
// place. Each completes "it is ...".

var physicalWords = map[Physical]string{
	Expected: "expected", Arrived: "in the bay, not taken in", Received: "taken in", Chilling: "chilling",
	Hanging: "hanging", OnTable: "on the table", InPieces: "cut up", Stored: "in boxes",
	PartReleased: "partly picked up", Released: "picked up", Refused: "refused at the door",
	Returned: "gone home uncut", Unclaimed: "unclaimed", Transferred: "given away", Destroyed: "destroyed",
	Condemned: "condemned", Seized: "taken by an officer", Lost: "missing",
}

var legalWords = map[Legal]string{
	Unchecked: "not checked", Verified: "checked", Query: "in question", WardenHold: "stopped by the warden",
	TagHeld: "checked, tag kept in the shop", TagReturned: "checked, tag given back",
}

var diseaseWords = map[Disease]string{
	NotNeeded: "no test asked for", Wanted: "to be sampled", Drawn: "sampled, not sent", Pending: "waiting for the laboratory",
	NotDetected: "not detected", Detected: "detected", Resample: "to be sampled again",
}

var orderWords = map[OrderTrack]string{
	NoOrder: "no order yet", Incomplete: "order not complete", Complete: "order complete",
	Locked: "order on the table", Done: "order done", Cancelled: "order canceled",
}

var moneyWords = map[Money]string{
	Quoted: "quoted", DepositTaken: "deposit taken", Billed: "billed", PartPaid: "partly paid",
	Settled: "paid", InCredit: "money owed back", WrittenOff: "written off",
}

// stepWords completes "Cannot ...".
var stepWords = map[Step]string{
	Arrive: "note that it came", Receive: "take it in", Refuse: "refuse it", Return: "send it home uncut",
	Chill: "put it in the cooler", Hang: "hang it", Start: "start cutting it", Stop: "put it back from the table",
	Split: "finish cutting it", Box: "box it", HandOverPart: "hand over a part of it", HandOver: "hand it over",
	GiveUpWaiting: "call it unclaimed", Transfer: "give it away", Destroy: "destroy it", Condemn: "condemn it",
	Seize: "give it to an officer", Lose: "report it missing", BackChilling: "put it back to chill",
	BackHanging: "put it back on the rail", BackStored: "put it back in the freezer", StayPart: "write down that some of it had not left",
	Stay: "write down that it had not left",

	Verify: "pass its tag", Ask: "question its tag", WardenStop: "stop it for the warden",
	WardenFree: "free it for the warden", TakeTag: "take the tag off", ReturnTag: "give the tag back",
	KeepTag: "write down that the tag was not given back",

	Want: "ask for a sample", Waive: "drop the sample", Draw: "take the sample", Send: "send the sample",
	SampledElsewhere: "note a sample taken elsewhere", ReportNotDetected: "enter the result not detected",
	ReportDetected: "enter the result detected", ReportUnsuitable: "enter that the sample was no good",

	NoteOrder: "note part of the order", TakeOrder: "take the order", LockOrder: "take the order to the table",
	UnlockOrder: "take the order back from the table", FinishOrder: "finish the order", CancelOrder: "cancel the order",
	ReviveOrder: "take the cancelling back",

	TakeDeposit: "take a deposit", RefundDeposit: "give the deposit back", Bill: "bill it", BillMore: "add to the bill",
	PayPart: "take a part payment", Pay: "take the full payment", GiveCredit: "give credit",
	Refund: "pay the credit out", WriteOff: "write the bill off",
}
