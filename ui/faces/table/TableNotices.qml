pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// The notice stack: the first plate whole, the next two in one row each, the rest as a count.
Item {
    id: stack

    required property CourtView view

    readonly property DeskPanel panel: stack.view.desk.panel
    readonly property TableSizes sizes: Theme.table
    readonly property int firstHigh: stack.panel.firstLive ? stack.sizes.firstPlate : stack.sizes.nextPlate
    readonly property int more: Math.max(0, stack.panel.waiting - stack.panel.stack.length)

    Repeater {
        model: stack.view.notices

        Item {
            id: place

            required property string noticeId
            required property NoticeLook notice

            readonly property int at: stack.panel.stack.indexOf(place.noticeId)

            visible: place.at >= 0
            y: place.at <= 0 ? 0 : stack.firstHigh + stack.sizes.gap + (place.at - 1) * (stack.sizes.nextPlate + stack.sizes.gap)
            width: stack.width
            height: place.at === 0 ? stack.firstHigh : stack.sizes.nextPlate

            NoticePlate {
                objectName: "table.notice." + place.at
                anchors.fill: parent
                visible: place.at === 0 && stack.panel.firstLive
                notice: place.notice
                sizes: stack.sizes
                titleSize: stack.sizes.strong
            }

            NoticeLine {
                objectName: "table.notice." + place.at
                anchors.fill: parent
                visible: place.at > 0 || (place.at === 0 && !stack.panel.firstLive)
                notice: place.notice
                sizes: stack.sizes
            }

            ShownWitness {
                anchors.fill: parent
                visible: place.visible && stack.visible
                notice: place.notice
                tell: stack.view.tell
            }

            FocusRing {
                visible: stack.panel.region === "notices" && stack.panel.focusId === place.noticeId
                inner: 0
            }
        }
    }

    Words {
        visible: text !== ""
        bl: 226
        size: stack.sizes.body
        text: (stack.more > 0 ? "+ " + stack.more + " more" : "") + (stack.more > 0 && stack.view.floodText !== "" ? ", " : "") + stack.view.floodText
        color: Theme.dim
    }

    Words {
        visible: stack.more > 0
        x: stack.width - width
        bl: 226
        size: stack.sizes.body
        text: "Tab to read them"
        color: Theme.dim
    }
}
