pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// Courts that can be heard, by number, name and the words of their key. An address can be typed too.
Item {
    id: page

    required property SetupView setup
    required property bool wide

    readonly property SetupSizes sizes: Theme.setup
    readonly property real column: page.wide ? Math.round((page.width - 2 * page.sizes.margin) / 2) : page.width

    Words {
        bl: 40
        size: page.sizes.title
        bold: true
        text: "Courts nearby"
    }

    Column {
        id: list

        y: 76
        width: page.column
        spacing: Theme.s2

        Words {
            visible: page.setup.heardCount === 0
            width: parent.width
            wrapMode: Text.WordWrap
            size: page.sizes.body
            color: Theme.dim
            text: page.setup.networked ? "Listening. A court appears here when its device shows a code." : "Nothing can be heard: " + page.setup.networkText + ". Type the address that the other device shows."
        }

        Repeater {
            model: page.setup.heard

            SetupHeard {
                required property int index

                width: page.column
                visible: index < 5
                onAsked: key => page.setup.chooseCourt(key)
            }
        }
    }

    Column {
        x: page.wide ? page.width - width : 0
        y: page.wide ? 76 : 620
        width: page.column
        spacing: Theme.s4

        SetupBox {
            name: "setup.join.address"
            width: parent.width
            label: "Or type the address, or paste the square's text"
            hint: "192.168.1.20:5005"
            value: page.setup.address
            most: 400
            flag: page.setup.problem !== "" ? 1 : 0
            onTyped: text => page.setup.putAddress(text)
        }

        Item {
            visible: page.setup.problem !== ""
            width: parent.width
            height: Math.max(34, fault.height)

            SetupFlag {
                number: 1
            }

            Words {
                id: fault

                objectName: "setup.join.fault"
                x: 34 + Theme.s3
                y: Math.round((34 - size * 1.21) / 2)
                width: parent.width - x
                wrapMode: Text.WordWrap
                size: page.sizes.small
                bold: true
                text: page.setup.problem
            }
        }

        Words {
            width: parent.width
            wrapMode: Text.WordWrap
            size: page.sizes.small
            color: Theme.dim
            text: "Number, court and the three words stand on the other screen, above its code. Compare them: two courts may show a code at once."
        }
    }
}
