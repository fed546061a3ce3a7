pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// The court: what it is called, by which rules and how long it is played; the way to what the event decides.
Item {
    id: page

    required property CourtForm form
    required property EventForm event
    required property bool wide

    readonly property SetupSizes sizes: Theme.setup
    readonly property real column: page.wide ? Math.round((page.width - 2 * page.sizes.margin) / 2) : page.width

    signal eventAsked

    Words {
        bl: 40
        size: page.sizes.title
        bold: true
        text: "The court"
    }

    Column {
        id: names

        y: 76
        width: page.column
        spacing: Theme.s4

        SetupBox {
            name: "setup.court.court"
            width: parent.width
            label: "Court"
            hint: "7, or a name"
            value: page.form.court
            flag: page.form.courtFlag
            onTyped: text => page.form.put("court", text)
        }

        SetupBox {
            name: "setup.court.event"
            width: parent.width
            label: "Event, if you like"
            hint: "Girls U16, quarter-final"
            value: page.form.eventName
            flag: page.form.eventFlag
            onTyped: text => page.form.put("event", text)
        }

        Pad {
            objectName: "setup.court.event.open"
            width: parent.width
            height: 84
            sizes: page.sizes
            inset: Theme.s4
            path: Marks.rightward
            markSize: 32
            text: "What the event decides"
            detail: page.event.summary
            onActed: page.eventAsked()
        }

        SetupFaults {
            objectName: "setup.court.faults"
            width: parent.width
            lines: page.form.faults
        }
    }

    Column {
        x: page.wide ? page.width - width : 0
        y: page.wide ? 0 : names.y + names.height + Theme.s6
        width: page.column
        spacing: page.sizes.gap

        SetupStep {
            name: "setup.court.rules"
            width: parent.width
            label: "Rules"
            value: page.form.profileTitle
            choice: true
            onStepped: by => page.form.nextProfile(by)
        }

        SetupStep {
            name: "setup.court.length"
            width: parent.width
            label: "Sets"
            value: page.form.lengthText
            choice: true
            onStepped: by => page.form.nextLength(by)
        }

        SetupStep {
            name: "setup.court.points"
            width: parent.width
            label: "Points in a set"
            value: page.form.pointsText
            onStepped: by => page.form.step("points", by)
        }

        SetupStep {
            name: "setup.court.last"
            width: parent.width
            visible: page.form.hasLast
            label: "Points in the last set"
            value: page.form.lastText
            onStepped: by => page.form.step("last", by)
        }

        SetupStep {
            name: "setup.court.cap"
            width: parent.width
            label: "Cap, where a set ends without a lead"
            value: page.form.capText
            flag: page.form.formatFlag
            onStepped: by => page.form.step("cap", by)
        }

        SetupStep {
            name: "setup.court.change"
            width: parent.width
            visible: page.form.hasLast
            label: "Change of courts in the last set at"
            value: page.form.changeText
            onStepped: by => page.form.step("change", by)
        }
    }
}
