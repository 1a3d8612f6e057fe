using Grpc.Net.Client;
using Reliability.DemoData.Scenario;
using Reliability.V1;

namespace Reliability.DemoData.Report;

/// <summary>Asks a running service, over its public gRPC interface, what it has learnt, and prints it beside the truth.</summary>
internal static class DemoReport
{
    /// <summary>Prints the report once the service has taken in the given events, which were posted before. Throws RpcException when the service refuses or cannot be reached.</summary>
    public static async Task WriteAsync(
        TextWriter output, Uri address, Network network, IEnumerable<ModuleEvent> posted)
    {
        using var channel = GrpcChannel.ForAddress(address);
        var answers = new Answers(channel, network);
        await answers.WaitForAsync(posted);

        output.WriteLine("Fitted lives beside the truth they were drawn from. All data are invented.");
        output.WriteLine("Bounds are two-sided at 95 % unless said otherwise: about one in twenty misses the truth.");
        output.WriteLine();
        foreach (var family in network.Families.Where(family => family.Refurbished is not null))
            FamilySection.Write(output, family, await answers.CompareAsync(family));

        var (modelId, site) = Network.WithoutFailures;
        var withoutFailures = network.Families.Single(family => family.ModelId == modelId);
        var fits = new List<(double Shape, FitLivesResponse Answer)>();
        foreach (var shape in WithoutFailuresSection.Shapes)
            fits.Add((shape, await answers.FitWithShapeAsync(withoutFailures, shape)));
        WithoutFailuresSection.Write(output, withoutFailures, site, fits);

        ActBeforeSection.Write(output, network, await answers.PredictAsync());
    }
}
