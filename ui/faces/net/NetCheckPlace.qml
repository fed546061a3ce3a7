pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// A place on the half: position, the sheet's number, a tick; boxed with both numbers where the court differs.
Press {
    id: spot

    required property int place
    required property string number
    required property NetState desk
    property bool captain: false

    readonly property NetSizes sizes: Theme.net
    readonly property bool picked: spot.desk.checkPlace === spot.place
    readonly property bool differs: spot.picked && spot.desk.checkNumber >= 0

    objectName: "net.check.place" + spot.place
    text: spot.differs ? String(spot.desk.checkNumber) : spot.number
    Accessible.name: spot.text + ", position " + spot.place + (spot.differs ? ", line-up sheet " + spot.number : "")
    enabled: (!spot.desk.agreedA || !spot.desk.agreedB) && !spot.desk.court.duties.checked
    onActed: {
        if (spot.desk.checkNumber < 0)
            spot.desk.checkPlace = spot.picked ? 0 : spot.place;
    }

    background: Rectangle {
        radius: Theme.plateRadius
        color: spot.picked || spot.pressed ? Theme.ground : Theme.clear
        border {
            width: spot.differs ? Theme.frame : spot.picked ? Theme.ring : 0
            color: Theme.ink
        }
    }

    contentItem: Item {
        Words {
            x: Theme.s3
            mid: 22
            size: spot.sizes.small
            text: String(spot.place)
            color: Theme.dim
        }

        Words {
            id: figure

            x: Math.round((parent.width - width) / 2)
            mid: spot.differs ? parent.height * 0.38 : parent.height / 2
            size: spot.sizes.number
            bold: true
            text: spot.text
        }

        Rectangle {
            visible: spot.captain && !spot.differs
            x: figure.x
            y: Math.round(parent.height / 2 + spot.sizes.number * 0.5)
            width: figure.width
            height: Theme.frame
            color: Theme.ink
        }

        Words {
            x: Math.round((parent.width - width) / 2)
            visible: spot.differs
            mid: parent.height * 0.8
            size: spot.sizes.small
            text: "sheet " + spot.number
        }

        Icon {
            visible: !spot.picked
            x: parent.width - width - Theme.s2
            y: 8
            path: Marks.answered
            size: 28
            tone: Theme.dim
        }
    }
}
