pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// The top line of the table: court, set, event; phase and its age or its clock; who is linked, what is saved, theme.
StatusRail {
    id: rail

    readonly property bool held: rail.view.ready.state === "held"
    readonly property bool timed: rail.view.clock.present && rail.view.clock.kind !== "service"
    readonly property bool focused: rail.view.desk.panel.region === "rail"

    sizes: Theme.table
    faceName: "table"
    onCrewAsked: rail.view.desk.showCrew()
    phaseTail: rail.timed ? rail.view.clock.leftText + " left" : rail.held && !rail.view.inRally ? "held " + rail.view.ready.secondsText : rail.view.phase === "finished" || rail.view.phase === "before" ? "" : rail.view.phaseAgeText
    Accessible.role: Accessible.ToolBar
    Accessible.name: rail.view.courtName + ", set " + rail.view.setNumber + ", " + rail.view.phaseWord

    FocusRing {
        visible: rail.focused
        anchors.fill: undefined
        anchors.margins: 0
        x: rail.width - width - Theme.s2
        y: Theme.s1
        width: 100
        height: rail.height - 2 * Theme.s1
    }
}
