pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// The middle of the face follows the moment: court, ready chain, clock, line-ups, links before the match, result.
Item {
    id: centre

    required property CourtView court
    required property NetState desk
    required property int freeZone
    required property int numberSize
    property bool upright: false

    readonly property string phase: centre.court.phase
    readonly property bool lost: centre.court.lostText !== ""
    readonly property bool urgent: centre.court.top.present && centre.court.top.number >= 0
    readonly property bool chained: !centre.lost && centre.phase === "dead_ball" && centre.court.ready.state === "held" && centre.court.ready.byPerson && !centre.urgent
    readonly property bool clocked: !centre.lost && (centre.phase === "time_out" || centre.phase === "between_sets")
    readonly property bool asked: !centre.lost && centre.phase === "line_ups"
    readonly property bool early: !centre.lost && centre.phase === "before"
    readonly property bool coming: !centre.court.writer.matchHere
    readonly property bool over: centre.phase === "finished" || centre.phase === "sealed" || centre.lost

    Court {
        visible: !centre.chained && !centre.clocked && !centre.asked && !centre.early && !centre.over
        y: 14
        width: centre.width
        view: centre.court
        sizes: Theme.net
        freeZone: centre.freeZone
        numberSize: centre.numberSize
        calm: centre.court.inRally
        bands: true
        about: centre.court.plates.shown
    }

    ReadyChain {
        visible: centre.chained
        y: centre.upright ? 0 : Theme.s5
        width: centre.width
        height: centre.height - Theme.s5
        narrow: centre.upright
        ready: centre.court.ready
        sizes: Theme.net
    }

    NetClock {
        visible: centre.clocked
        anchors.fill: parent
        court: centre.court
        upright: centre.upright
    }

    NetLineUps {
        visible: centre.asked
        anchors.fill: parent
        court: centre.court
    }

    CatchingUp {
        visible: centre.coming
        anchors.fill: parent
        writer: centre.court.writer
        sizes: Theme.net
    }

    NetBefore {
        visible: centre.early && !centre.coming
        anchors.fill: parent
        court: centre.court
        desk: centre.desk
    }

    NetOver {
        visible: centre.over
        anchors.fill: parent
        court: centre.court
    }
}
