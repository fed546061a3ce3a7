pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// A substitution or libero replacement as it is typed: in bold, out regular, legal or not, and why.
Item {
    id: exchange

    required property DeskPanel panel

    readonly property TableSizes sizes: Theme.table

    Words {
        bl: 26
        size: exchange.sizes.strong
        bold: true
        text: exchange.panel.exchangeTitle
    }

    Rectangle {
        y: 46
        width: exchange.width
        height: Theme.hairline
        color: Theme.hair
    }

    Repeater {
        model: [["in", exchange.panel.comesIn], ["out", exchange.panel.goesOut]]

        Item {
            id: half

            required property list<string> modelData
            required property int index

            x: half.index * 152

            Words {
                bl: 86
                size: exchange.sizes.body
                text: half.modelData[0]
                color: Theme.dim
            }

            Words {
                objectName: "table.exchange." + half.modelData[0]
                bl: 170
                size: exchange.sizes.substitution
                bold: half.index === 0
                text: half.modelData[1] !== "" ? half.modelData[1] : "_"
                color: half.modelData[1] === "" ? Theme.off : half.index === 0 ? Theme.ink : Theme.dim
            }
        }
    }

    Icon {
        visible: exchange.panel.said !== ""
        x: 322
        y: 66
        path: exchange.panel.said === "no" ? Marks.cross : Marks.answered
        size: 24
    }

    Words {
        objectName: "table.exchange.said"
        visible: exchange.panel.said !== ""
        x: 356
        bl: 86
        size: exchange.sizes.body
        bold: true
        text: exchange.panel.said === "no" ? "Not legal" : "Legal"
    }

    Repeater {
        model: exchange.panel.reasons

        Words {
            required property string modelData
            required property int index

            x: 356
            width: exchange.width - x
            bl: 114 + index * 26
            size: exchange.sizes.small
            text: modelData
            wrapMode: Text.WordWrap
        }
    }
}
