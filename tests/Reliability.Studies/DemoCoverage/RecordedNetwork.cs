using NodaTime;
using Reliability.Analysis;
using Reliability.DemoData.Records;
using Reliability.DemoData.Scenario;
using Reliability.DemoData.Simulation;
using Reliability.History.Catalogue;
using Reliability.History.Lives;
using Reliability.Service.Events;
using Reliability.Service.Mapping;
using Reliability.V1;

namespace Reliability.Studies.DemoCoverage;

/// <summary>
/// The lives that the service derives when the files of a simulated network are posted to it: the same mapping of events,
/// the same derivation, without the database between.
/// </summary>
internal sealed class RecordedNetwork
{
    private readonly Network _network;
    private readonly DerivationOptions _derivation;
    private readonly IReadOnlyList<History.Lives.Life> _lives;

    /// <summary>Simulates a network, records it and derives its lives.</summary>
    public RecordedNetwork(Network network, ulong seed)
    {
        _network = network;
        _derivation = new DerivationOptions { DataCutoffTime = network.CutoffTime };
        var mapping = new EventMapping(new EventTimes(DateTimeZone.Utc), organisation: "study");
        var catalogue = CatalogueOf(network);
        var simulated = FleetSimulation.Run(network, seed);
        var posted = network.Hospitals.SelectMany(hospital => hospital.Form == RecordForm.Events
            ? EventHistory.Of(network, hospital, simulated, seed)
            : LifeSheet.Of(network, hospital, simulated));
        _lives =
        [
            .. posted.Select(mapping.ToHistory).GroupBy(recorded => recorded.ModuleId)
                .SelectMany(record => LifeDerivation.Derive(new(record.Key, [.. record]), catalogue, _derivation).Lives),
        ];
    }

    /// <summary>The sample of a cohort.</summary>
    public CohortSample SampleOf(Cohort cohort) =>
        SampleLives.Build(_lives, CohortMapping.FromWire(cohort), _network.CutoffTime);

    private static ModuleCatalogue CatalogueOf(Network network) =>
        new(Catalogue.Of(network).Select(request => new History.Catalogue.ModuleModel
        {
            Id = request.ModuleModelId,
            Versions = [CatalogueMapping.FromWire(request.ModuleModel)],
        }));
}
