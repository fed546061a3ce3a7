pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// The rail of the net face. On a page the middle says which act it is and how many taps are left. Narrow (`short`):
// the posts fold to a count, and a post that is lost stands there by name and age.
Item {
    id: rail

    required property CourtView court
    required property NetState desk
    property bool short: false

    readonly property string act: rail.desk.page === "call" ? "Call" : rail.desk.page === "server" ? "Wrong server" : rail.desk.page === "conduct" ? "Conduct" : rail.desk.page === "subs" ? "Substitution" : ""
    readonly property string taps: rail.desk.page === "call" ? (rail.desk.fault === "" ? "tap 1 of 2" : "tap 2 of 2") : rail.desk.page === "conduct" ? (rail.desk.side === "" ? "tap 1 of 2" : "tap 2 of 2") : rail.desk.page === "server" ? "tap 2 of 2" : ""
    readonly property bool timed: !["finished", "sealed", "before"].includes(rail.court.phase)
    readonly property int size: Theme.net.body
    readonly property real middle: rail.height / 2

    StatusRail {
        visible: !rail.short
        anchors.fill: parent
        view: rail.court
        sizes: Theme.net
        faceName: rail.short ? "net.wide" : "net"
        second: rail.court.writer.catchUpText !== "" || rail.court.storageText !== "" ? "" : "sets " + rail.court.setsText
        phaseWord: rail.act !== "" ? rail.act : rail.court.phaseWord
        phaseTail: rail.act !== "" ? rail.taps : rail.timed ? rail.court.phaseAgeText : ""
        withSaved: false
        onCrewAsked: rail.desk.open(rail.desk.page === "crew" ? "" : "crew")
    }

    Item {
        visible: rail.short
        anchors.fill: parent

        Words {
            id: place

            x: Theme.net.margin
            mid: rail.middle
            size: rail.size
            bold: true
            text: rail.court.courtName + "   Set " + rail.court.setNumber
        }

        Words {
            id: phase

            x: Math.round(place.x + place.width + Theme.s6)
            mid: rail.middle
            size: rail.size
            bold: true
            text: rail.act !== "" ? rail.act : rail.court.phaseWord
        }

        Words {
            x: phase.x + phase.width + Theme.s3
            mid: rail.middle
            size: rail.size
            text: rail.act !== "" ? rail.taps : rail.timed ? rail.court.phaseAgeText : ""
            color: Theme.dim
        }

        Press {
            id: crew

            objectName: "net.rail.crew"
            x: word.x - width - Theme.s2
            y: Math.round(rail.middle - height / 2)
            width: Math.max(Theme.net.target, links.width + 2 * Theme.s2)
            height: Theme.net.target
            text: "Devices of this court"
            focusPolicy: Qt.NoFocus
            Accessible.name: crew.text + ". " + rail.court.writer.text
            onActed: rail.desk.open(rail.desk.page === "crew" ? "" : "crew")

            contentItem: Item {
                NetLinks {
                    id: links

                    x: Math.round((parent.width - width) / 2)
                    y: Math.round((parent.height - height) / 2)
                    court: rail.court
                    size: Theme.net.small
                }
            }
        }

        ThemeWord {
            id: word

            objectName: "net.rail.theme"
            x: rail.width - width - Theme.net.margin + Theme.s2
            y: Math.round(rail.middle - height / 2)
            height: Theme.net.target
            size: Theme.net.small
        }

        Rectangle {
            y: rail.height - height
            width: rail.width
            height: Theme.hairline
            color: Theme.hair
        }
    }
}
