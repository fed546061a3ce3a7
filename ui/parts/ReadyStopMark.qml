pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// One stop of the ready chain, centred on its own x and y; the word under it keeps inside the chain's ends
// (`place` -1 first, 0 between, 1 last), and under it what is done or missing there.
Item {
    id: stop

    required property string word
    required property string stage
    required property string told
    required property NetSizes sizes
    required property int place

    readonly property bool holds: stop.stage === "holds"
    readonly property int across: stop.holds ? stop.sizes.stopDisc : stop.sizes.stopRing

    Accessible.role: Accessible.StaticText
    Accessible.name: stop.word + " " + (stop.told !== "" ? stop.told : stop.stage === "done" ? "done" : stop.holds ? "holds" : "waits")

    Rectangle {
        x: -width / 2
        y: -height / 2
        width: stop.across
        height: stop.across
        radius: stop.across / 2
        color: stop.holds ? Theme.ink : Theme.ground
        border {
            width: stop.holds ? 0 : Theme.outline
            color: stop.stage === "done" ? Theme.ink : Theme.line
        }

        Icon {
            visible: stop.stage !== "waiting"
            anchors.centerIn: parent
            path: stop.holds ? Marks.hold : Marks.answered
            size: Math.round(stop.across / 2)
            tone: stop.holds ? Theme.ground : Theme.ink
        }
    }

    Words {
        visible: stop.told !== ""
        x: Math.round(stop.place < 0 ? -stop.sizes.stopDisc / 2 : stop.place > 0 ? stop.sizes.stopRing / 2 - width : -width / 2)
        mid: stop.sizes.stopDisc / 2 + stop.sizes.strong * 2.2
        size: stop.sizes.small
        text: stop.told
        color: stop.holds ? Theme.ink : Theme.dim
    }

    Words {
        x: Math.round(stop.place < 0 ? -stop.sizes.stopDisc / 2 : stop.place > 0 ? stop.sizes.stopRing / 2 - width : -width / 2)
        mid: stop.sizes.stopDisc / 2 + stop.sizes.strong * 1.1
        size: stop.sizes.strong
        bold: stop.holds
        text: stop.word
        color: stop.holds ? Theme.ink : Theme.dim
    }
}
