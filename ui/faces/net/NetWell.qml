pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// The thumb well: conduct, call, wrong server, hold; nearest the answer pad the most urgent. A hold of the own
// turns the last pad into its release. Between sets only conduct can be told of.
Grid {
    id: well

    required property CourtView court
    required property NetState desk
    required property int padHigh

    readonly property int padWide: Math.floor((well.width - (well.columns - 1) * well.spacing) / well.columns)
    readonly property bool held: well.court.plates.hold.present

    spacing: Theme.net.gap
    visible: well.desk.attended

    Pad {
        objectName: "net.well.conduct"
        width: well.padWide
        height: well.padHigh
        sizes: Theme.net
        text: "Conduct"
        path: Marks.report
        onActed: well.desk.open("conduct")
    }

    Pad {
        objectName: "net.well.call"
        enabled: well.desk.playing
        width: well.padWide
        height: well.padHigh
        sizes: Theme.net
        text: "Call"
        path: Marks.netcall
        onActed: well.desk.open("call")
    }

    Pad {
        objectName: "net.well.server"
        enabled: well.desk.playing
        width: well.padWide
        height: well.padHigh
        sizes: Theme.net
        text: "Wrong server"
        path: Marks.serve
        onActed: well.desk.open("server")
    }

    Pad {
        objectName: "net.well.hold"
        enabled: well.desk.playing
        width: well.padWide
        height: well.padHigh
        sizes: Theme.net
        kind: well.held ? Pad.Filled : Pad.Raised
        text: well.held ? "Release hold" : "Hold service"
        path: well.held ? Marks.answered : Marks.hold
        onActed: well.desk.holdOrRelease()
    }
}
