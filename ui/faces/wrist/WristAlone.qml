pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// In the place of Tell while nobody can be heard: what is told would reach no one, so it says what does.
Item {
    id: alone

    required property WristShape shape
    required property GlanceLook glance

    visible: alone.glance.alone

    WristWords {
        objectName: "wrist.alone"
        shape: alone.shape
        end: "middle"
        footing: alone.shape.tellTop + (alone.shape.round ? 34 : 46)
        size: Theme.wrist.body
        bold: true
        text: "Use the whistle"
    }

    WristWords {
        shape: alone.shape
        end: "middle"
        footing: alone.shape.tellTop + (alone.shape.round ? 66 : 84)
        size: Theme.wrist.small
        text: alone.shape.round ? "no one hears" : "no one hears this device"
    }
}
