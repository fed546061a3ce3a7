pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// What every face is: a page in the ground colour that shows one court.
Rectangle {
    id: face

    required property CourtView court

    color: Theme.ground
}
