pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// After an interruption: nothing holds the service, or who holds it, why and for how long. R1 just does not whistle.
WristMoment {
    id: ready

    readonly property bool clear: ready.court.ready.state === "clear"
    readonly property string who: ready.court.ready.sentence.replace(" the service", "").replace(" is not ready yet", " not ready")

    objectName: ready.clear ? "wrist.ready.clear" : "wrist.ready.held"
    path: ready.clear ? Marks.answered : Marks.hold
    title: ready.clear ? "Clear" : ready.who
    titleSize: ready.clear ? ready.sizes.title : ready.who.length > 12 ? ready.sizes.body : ready.sizes.strong
    line: ready.court.ready.reason
    second: ready.clear ? "" : ready.court.ready.secondsText
    server: !ready.clear ? null : ready.court.leftTeam.serves ? ready.court.leftTeam : ready.court.rightTeam.serves ? ready.court.rightTeam : null
}
