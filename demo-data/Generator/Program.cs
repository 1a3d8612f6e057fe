using System.CommandLine;
using Grpc.Core;
using Reliability.DemoData.Records;
using Reliability.DemoData.Report;
using Reliability.DemoData.Scenario;

var network = Network.Brindlemoor;
var seed = new Option<ulong>("--seed")
{
    Description = "Seed of the simulation.",
    DefaultValueFactory = _ => DemoFiles.CommittedSeed,
};

var folder = new Option<DirectoryInfo>("--out") { Description = "Folder to write to.", Required = true };
var write = new Command("write", "Writes the files of the invented network.") { seed, folder };
write.SetAction(parsed =>
{
    var target = parsed.GetRequiredValue(folder);
    target.Create();
    foreach (var (name, text) in DemoFiles.Of(network, parsed.GetValue(seed)))
    {
        var path = Path.Combine(target.FullName, name);
        Directory.CreateDirectory(Path.GetDirectoryName(path)!);
        File.WriteAllText(path, text, DemoFiles.EncodingOf(name));
    }
});

var address = new Option<string>("--address")
{
    Description = "Where the service answers gRPC.",
    DefaultValueFactory = _ => "http://127.0.0.1:7080",
};
var report = new Command(
    "report", "Asks a service to which the files of that seed were posted, and prints its answers beside the truth.")
{
    seed, address,
};
report.SetAction(async parsed =>
{
    try
    {
        var posted = DemoFiles.LastEvents(network, parsed.GetValue(seed));
        await DemoReport.WriteAsync(Console.Out, new Uri(parsed.GetRequiredValue(address)), network, posted);
        return 0;
    }
    catch (UriFormatException)
    {
        Console.Error.WriteLine("--address: must be a URL such as http://127.0.0.1:7080");
        return 2;
    }
    catch (RpcException refused)
    {
        Console.Error.WriteLine($"The service answered {refused.StatusCode}: {refused.Status.Detail}");
        return 1;
    }
});

return await new RootCommand("Data of an invented hospital network, and a service's answers beside its stated truth.")
{
    write, report,
}.Parse(args).InvokeAsync();
