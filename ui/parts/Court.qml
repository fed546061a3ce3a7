pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// The court to scale, 18 by 9 metres, as this reader sees it: net, attack lines with their extensions, six numbers a
// side, the server due outside the end line. The right half is the left one turned by half a turn, never mirrored.
// Item height is `width - 2 * freeZone` halved; the extensions and antenna discs stand out by `overhang`.
Item {
    id: court

    required property CourtView view
    required property FaceSizes sizes
    property int freeZone: 90
    property int numberSize: court.sizes.number
    property bool calm: false
    property bool bands: false
    property int bandWidth: Theme.bandWidth
    property string meantTeam: ""
    property int meantNumber: -1
    property NoticeLook about: null
    property bool empty: false

    readonly property real floorWide: court.width - 2 * court.freeZone
    readonly property real metre: court.floorWide / 18
    readonly property int overhang: Theme.s3
    readonly property int aboutNumber: court.about !== null && court.about.live ? court.about.number : -1

    function along(position: int): real {
        return position === 1 || position === 6 || position === 5 ? 3.25 : 7.5;
    }

    function across(position: int): real {
        return position === 5 || position === 4 ? 1.5 : position === 6 || position === 3 ? 4.5 : 7.5;
    }

    implicitHeight: Math.round(court.floorWide / 2)
    height: implicitHeight
    Accessible.role: Accessible.Grouping
    Accessible.name: "Court"

    CourtLines {
        x: court.freeZone
        width: court.floorWide
        height: court.height
        overhang: court.overhang
    }

    CourtHalf {
        view: court.view
        court: court
        team: court.view.leftTeam
        atLeft: true
    }

    CourtHalf {
        view: court.view
        court: court
        team: court.view.rightTeam
        atLeft: false
    }
}
