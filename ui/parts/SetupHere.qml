pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// Who is here, and the code that brings the next one in. A job is pressed, its code appears, its device types it.
Item {
    id: page

    required property SetupView setup
    required property bool wide
    property bool told: false

    readonly property SetupSizes sizes: Theme.setup
    readonly property real list: page.wide ? 360 : page.width
    readonly property real rowHigh: 72

    Item {
        id: crew

        y: page.wide ? 0 : page.height - height
        width: page.list
        height: 56 + 5 * (page.rowHigh + Theme.s2)

        Words {
            bl: 34
            size: page.sizes.strong
            bold: true
            text: "Who is here"
        }

        Column {
            y: 56
            width: parent.width
            spacing: Theme.s2

            Repeater {
                model: page.setup.crew

                SetupHereRow {
                    width: page.list
                    height: page.rowHigh
                    chosen: page.setup.code.post === post && !page.setup.code.over
                    onAsked: post => page.setup.showCode(post)
                }
            }
        }
    }

    Rectangle {
        visible: page.wide
        x: page.list + page.sizes.margin
        width: Theme.outline
        height: page.height
        color: Theme.hair
    }

    Item {
        id: side

        x: page.wide ? page.list + 2 * page.sizes.margin : 0
        width: page.width - x
        height: page.wide ? page.height : crew.y - page.sizes.margin

        Column {
            id: intro

            visible: !page.setup.code.present && !page.setup.code.knocked
            width: parent.width
            spacing: Theme.s4

            Words {
                width: parent.width
                wrapMode: Text.WordWrap
                size: page.sizes.title
                bold: true
                text: "Bring the others in"
            }

            Words {
                objectName: "setup.here.sign"
                visible: text !== ""
                width: parent.width
                elide: Text.ElideRight
                size: page.sizes.body
                bold: true
                text: page.setup.signText
            }

            Words {
                width: parent.width
                wrapMode: Text.WordWrap
                size: page.sizes.body
                color: Theme.dim
                text: page.setup.networked ? "Press a job. A code for it appears here; the other device types it." : "This device is on no network: join the gym's Wi-Fi first. The match can be kept here alone."
            }
        }

        SetupGuests {
            visible: !page.setup.code.present && !page.setup.code.knocked
            y: intro.height + Theme.s4
            width: parent.width
            most: Math.floor((side.height - y - 52 - (page.setup.siteFree ? 132 : 0) - (page.told ? 40 : 0)) / 80)
            told: page.told
            setup: page.setup
        }

        SetupShownCode {
            visible: page.setup.code.present && !page.setup.code.knocked
            width: parent.width
            height: parent.height
            code: page.setup.code
            onAgain: page.setup.showCode(page.setup.code.post)
        }

        SetupKnock {
            visible: page.setup.code.knocked
            width: parent.width
            height: parent.height
            setup: page.setup
        }
    }
}
