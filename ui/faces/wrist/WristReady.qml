pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// After an interruption: nothing holds the service, or who holds it, why and for how long. R1 just does not whistle.
// In a deciding set that the teams change courts goes before.
WristMoment {
    id: ready

    readonly property bool turn: ready.court.glance.courtsDue && ready.court.ready.state !== "held"
    readonly property bool clear: !ready.turn && ready.court.ready.state === "clear"
    readonly property string who: ready.court.ready.sentence.replace(" the service", "").replace(" is not ready yet", " not ready")

    objectName: ready.turn ? "wrist.ready.turn" : ready.clear ? "wrist.ready.clear" : "wrist.ready.held"
    path: ready.turn ? Marks.swap : ready.clear ? Marks.answered : Marks.hold
    title: ready.turn ? "Change" : ready.clear ? "Clear" : ready.who
    titleSize: ready.turn || ready.clear ? ready.sizes.title : ready.who.length > 12 ? ready.sizes.body : ready.sizes.strong
    line: ready.turn ? "of courts" : ready.court.ready.reason
    second: ready.turn || ready.clear ? "" : ready.court.ready.secondsText
    server: !ready.clear ? null : ready.court.leftTeam.serves ? ready.court.leftTeam : ready.court.rightTeam.serves ? ready.court.rightTeam : null
}
