pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// One team list: names, numbers, liberos, captain, shirts; below it the numbers as they were read, or what is wrong.
// A list can be pasted, or a file of it dropped here.
Item {
    id: page

    required property TeamForm form
    property bool bandRight: false
    property bool named: true

    readonly property SetupSizes sizes: Theme.setup
    readonly property string place: "setup.team" + page.form.letter
    readonly property real inner: page.width - Theme.bandWidth - Theme.s4
    readonly property real third: (page.inner - 2 * page.sizes.gap) / 3

    TeamBand {
        x: page.bandRight ? page.width - width : 0
        width: Theme.bandWidth
        height: page.height
        letter: page.form.letter
    }

    DropArea {
        anchors.fill: parent
        onDropped: drop => drop.hasUrls ? page.form.load(drop.urls[0]) : page.form.put("numbers", drop.text)
    }

    Item {
        id: box

        x: page.bandRight ? 0 : Theme.bandWidth + Theme.s4
        width: page.inner

        Words {
            id: letter

            bl: 30
            size: page.sizes.strong
            bold: true
            text: "Team " + page.form.letter
        }

        ShirtSquare {
            x: letter.width + Theme.s3
            y: 10
            colour: page.form.shirt
        }

        Words {
            x: parent.width - width
            bl: 30
            size: page.sizes.small
            text: page.form.countText
            color: Theme.dim
        }

        SetupTeamName {
            y: 54
            width: page.inner
            form: page.form
            named: page.named
            place: page.place
            third: page.third
        }

        SetupBox {
            y: 158
            name: page.place + ".numbers"
            width: page.inner
            label: "Numbers of all players: type or paste a list"
            hint: "2 4 6 7 9c 11 12 L20"
            value: page.form.numbers
            flag: page.form.numbersFlag
            most: 4000
            onTyped: text => page.form.put("numbers", text)
        }

        SetupBox {
            y: 262
            name: page.place + ".liberos"
            width: page.third
            label: "Liberos"
            hint: "none"
            value: page.form.liberos
            flag: page.form.liberosFlag
            figures: true
            onTyped: text => page.form.put("liberos", text)
        }

        SetupBox {
            x: page.third + page.sizes.gap
            y: 262
            name: page.place + ".captain"
            width: page.third
            label: "Captain"
            hint: "none yet"
            value: page.form.captain
            flag: page.form.captainFlag
            figures: true
            onTyped: text => page.form.put("captain", text)
        }

        SetupShirt {
            x: parent.width - width
            y: 262
            width: page.third
            form: page.form
        }

        SetupNumbers {
            visible: faults.height === 0
            y: 376
            width: page.inner
            chips: page.form.chips
        }

        SetupFaults {
            id: faults

            objectName: page.place + ".faults"
            y: 376
            width: page.inner
            lines: page.form.faults
        }
    }
}
