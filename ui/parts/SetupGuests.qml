pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// Devices this one knows, each invited by one press; and, while there is no supervisor, the box for an event pass.
// `told`: what went wrong is said here, where no foot says it.
Column {
    id: list

    required property SetupView setup
    property int most: 4
    property bool told: false

    readonly property SetupSizes sizes: Theme.setup

    spacing: Theme.s2

    Words {
        visible: list.setup.guestCount > 0
        height: 40
        bl: 26
        size: list.sizes.body
        bold: true
        text: "Devices you know"
    }

    Repeater {
        model: list.setup.guests

        SetupGuest {
            required property int index

            width: list.width
            visible: index < list.most
            onAsked: device => list.setup.callGuest(device)
        }
    }

    Item {
        visible: list.setup.siteFree
        width: list.width
        height: box.height + Theme.s3

        SetupBox {
            id: box

            y: Theme.s3
            name: "setup.here.pass"
            width: parent.width - use.width - list.sizes.gap
            label: "Supervisor: paste the event pass, or the path of its file"
            hint: "CREWPASS1:"
            value: list.setup.passText
            most: 8000
            flag: 0
            onTyped: text => list.setup.putPass(text)
        }

        Pad {
            id: use

            objectName: "setup.here.use"
            x: parent.width - width
            y: box.y + 28
            width: 140
            height: list.sizes.box
            sizes: list.sizes
            enabled: list.setup.passText !== ""
            text: "Let in"
            onActed: list.setup.usePass()
        }
    }

    Words {
        objectName: "setup.here.problem"
        visible: list.told && list.setup.problem !== ""
        width: list.width
        wrapMode: Text.WordWrap
        size: list.sizes.small
        bold: true
        text: list.setup.problem
    }
}
